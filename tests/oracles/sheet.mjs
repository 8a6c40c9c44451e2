// Looks at printed sheets in a real browser. Usage: node sheet.mjs SHEET.html ...
// SHOTS=DIR keeps screenshots and PDFs. Without a browser it is skipped with a line; with CI set it fails.
import { execFileSync, spawnSync } from "node:child_process";
import { existsSync, mkdirSync, mkdtempSync, readFileSync } from "node:fs";
import { createRequire } from "node:module";
import { tmpdir } from "node:os";
import { basename, join, resolve } from "node:path";
import { pathToFileURL } from "node:url";
import { chromium } from "playwright-core";

const BROWSERS = [process.env.CHROMIUM, "/usr/bin/chromium", "/usr/bin/chromium-browser", "/usr/bin/google-chrome"];
const WIDTHS = { phone: 390, narrow: 320, desk: 1440 };
const PAPERS = { Letter: [612, 792], A4: [595, 842] }; // points
const AXE = readFileSync(createRequire(import.meta.url).resolve("axe-core/axe.min.js"), "utf8");
const RULES = ["wcag2a", "wcag2aa", "wcag21a", "wcag21aa", "wcag22aa", "best-practice"];
// Two weeks stand on one side of paper, in ten points or more.
const ONE_SIDE = /^plan-(forest-fortnight|monsoon-stars)\.html$/;
const LEAST_TYPE = 10; // points
const WHOLE = ".row, .carry, .problem, tbody tr, .band";

const executablePath = BROWSERS.find((path) => path && existsSync(path));
if (!executablePath) {
  console.log("sheet: skipped, no Chromium found (set CHROMIUM to its path)");
  process.exit(process.env.CI ? 1 : 0);
}
if (spawnSync("pdftotext", ["-v"]).error) {
  console.log("sheet: pdftotext is needed to see where pages end (Debian: poppler-utils)");
  process.exit(1);
}
const shots = process.env.SHOTS ?? mkdtempSync(join(tmpdir(), "sheet-"));
mkdirSync(shots, { recursive: true });

const faults = [];
const browser = await chromium.launch({
  executablePath,
  args: ["--no-sandbox", "--disable-gpu", "--disable-quic", "--no-first-run",
    "--disable-background-networking", "--disable-component-update", "--disable-sync"],
});
const paths = process.argv.slice(2);
const count = paths.length;
// Two at a time: most of it is a browser's work on one core.
await Promise.all([each(), each()]);
await browser.close();
faults.forEach((fault) => console.log(fault));
console.log(`sheet: ${count} pages at ${Object.keys(WIDTHS).length} widths and on ${Object.keys(PAPERS).length} papers, ${faults.length} faults`);
process.exit(faults.length || !count ? 1 : 0);

async function each() {
  for (let path; (path = paths.shift()); ) {
    await look(path);
    await print(path);
  }
}

/** On a screen: nothing said, nothing fetched, nothing wider than the screen, nothing axe objects to. */
async function look(path) {
  for (const [name, width] of Object.entries(WIDTHS)) {
    const page = await open(path, { viewport: { width, height: 900 } });
    await page.screenshot({ path: join(shots, `${basename(path, ".html")}-${name}.png`), fullPage: true });
    const overflow = await page.evaluate(() => document.documentElement.scrollWidth - innerWidth);
    if (overflow > 0) faults.push(`${path}: ${overflow} px wider than ${width} px`);
    await page.evaluate(AXE);
    const found = await page.evaluate((tags) => axe.run({ runOnly: tags }), RULES);
    for (const { id, impact, nodes } of found.violations) {
      faults.push(`${path} at ${width} px: axe ${id} (${impact}): ${nodes.slice(0, 2).map((n) => n.html).join(" | ")}`);
    }
    const checked = await page.evaluate(() => {
      const box = document.querySelector("input");
      document.querySelector(`label[for="${box?.id}"]`)?.click();
      return box ? box.checked : true;
    });
    if (!checked) faults.push(`${path}: a tap on the words does not tick the box`);
    await page.context().close();
  }
}

/** On paper: the size asked for, and no row, picture or list cut by the end of a page. */
async function print(path) {
  for (const [format, [width, height]] of Object.entries(PAPERS)) {
    const page = await open(path, {});
    const pdf = join(shots, `${basename(path, ".html")}-${format}.pdf`);
    await page.pdf({ path: pdf, format, tagged: true, outline: true });
    // The same once more with a mark at both ends of all that must stay whole.
    const marks = await page.evaluate((whole) => {
      const all = [...document.querySelectorAll(whole)].filter((part) => !part.closest("svg .x"));
      const mark = (text, edge) => {
        const span = document.createElement("span");
        span.textContent = text;
        span.style.cssText = `position:absolute;left:0;${edge}:0;font:4px monospace`;
        return span;
      };
      all.forEach((part, n) => {
        const host = part.tagName === "TR" ? part.cells[0] : part.tagName === "svg" ? wrap(part) : part;
        host.style.position = "relative";
        host.append(mark(`qa${n}z`, "top"), mark(`qe${n}z`, "bottom"));
      });
      function wrap(svg) {
        const div = document.createElement("div");
        div.style.breakInside = "avoid";
        div.style.breakAfter = "avoid";
        svg.replaceWith(div);
        div.append(svg);
        return div;
      }
      return all.map((part) => [part.getAttribute("class") ?? part.tagName, part.getBoundingClientRect().height]);
    }, WHOLE);
    const marked = join(shots, `${basename(path, ".html")}-${format}-marked.pdf`);
    await page.pdf({ path: marked, format });
    const pages = execFileSync("pdftotext", [marked, "-"], { encoding: "utf8", maxBuffer: 1e8 }).split("\f");
    marks.forEach(([name, tall], n) => {
      const first = pages.findIndex((text) => text.includes(`qa${n}z`));
      const last = pages.findIndex((text) => text.includes(`qe${n}z`));
      // What is taller than a page cannot stay whole.
      if (first < 0 || last < 0) faults.push(`${path} on ${format}: a ${name} is missing`);
      else if (first !== last && tall < 600) faults.push(`${path} on ${format}: a ${name} is cut by the end of page ${first + 1}`);
    });
    const info = execFileSync("pdfinfo", [pdf], { encoding: "utf8" });
    const sides = Number(info.match(/Pages:\s+(\d+)/)?.[1]);
    if (ONE_SIDE.test(basename(path))) {
      if (sides !== 1) faults.push(`${path}: ${sides} sides of ${format}, not one`);
      await type(path, pdf);
    }
    const size = info.match(/Page size:\s+([\d.]+) x ([\d.]+)/);
    if (!size || Math.abs(size[1] - width) > 2 || Math.abs(size[2] - height) > 2) {
      faults.push(`${path}: ${format} came out as ${size?.[0]}`);
    }
    await page.context().close();
  }
}

/** Its rows in the face that it brings along, and nothing on its paper smaller than is read from a door. */
async function type(path, pdf) {
  const fonts = execFileSync("pdffonts", [pdf], { encoding: "utf8" });
  if (!/ArchivoNarrow/.test(fonts)) faults.push(`${path}: printed without its own face:\n${fonts}`);
  const page = await open(path, {});
  await page.emulateMedia({ media: "print" });
  const small = await page.evaluate((least) => {
    const says = (part) => [...part.childNodes].some((node) => node.nodeType === 3 && node.data.trim());
    const points = (part) => parseFloat(getComputedStyle(part).fontSize) * 0.75;
    const seen = [...document.querySelectorAll("body *")].filter((part) => says(part) && part.getClientRects().length);
    return seen.filter((part) => points(part) < least - 0.01).map((part) => `${points(part)} pt: ${part.textContent.trim()}`);
  }, LEAST_TYPE);
  small.slice(0, 3).forEach((words) => faults.push(`${path}: small type, ${words}`));
  await page.context().close();
}

async function open(path, options) {
  const page = await (await browser.newContext(options)).newPage();
  const url = pathToFileURL(resolve(path)).href;
  page.on("console", (message) => faults.push(`${path}: console: ${message.text()}`));
  page.on("pageerror", (error) => faults.push(`${path}: ${error}`));
  page.on("dialog", (dialog) => { faults.push(`${path}: a dialog opened`); dialog.dismiss(); });
  page.on("request", (request) => { if (request.url() !== url) faults.push(`${path}: asked for ${request.url()}`); });
  await page.goto(url);
  return page;
}
