// Uses the local page as its users would, in a real browser. Usage: node page.mjs BIN
// SHOTS=DIR keeps screenshots. Without a browser it is skipped with a line; with CI set it fails.
import { execFileSync, spawn } from "node:child_process";
import { existsSync, mkdirSync, mkdtempSync, readFileSync } from "node:fs";
import { createRequire } from "node:module";
import { tmpdir } from "node:os";
import { join, resolve } from "node:path";
import { createInterface } from "node:readline";
import { chromium } from "playwright-core";
import { planJourneys } from "./page_plan.mjs";
import { todayJourneys } from "./page_today.mjs";

const BIN = resolve(process.argv[2]);
const NOW = "2026-12-06T18:30:00-07:00";
const BROWSERS = [process.env.CHROMIUM, "/usr/bin/chromium", "/usr/bin/chromium-browser", "/usr/bin/google-chrome"];
const WIDTHS = [390, 820, 1440];
const AXE = readFileSync(createRequire(import.meta.url).resolve("axe-core/axe.min.js"), "utf8");
const RULES = ["wcag2a", "wcag2aa", "wcag21a", "wcag21aa", "wcag22aa", "best-practice"];
const STARS = "shape=star&count=4&at=2026-12-06T18:30&by=2026-12-07T07:00&units=us";

const executablePath = BROWSERS.find((path) => path && existsSync(path));
if (!executablePath) {
  console.log("page: skipped, no Chromium found (set CHROMIUM to its path)");
  process.exit(process.env.CI ? 1 : 0);
}
const shots = process.env.SHOTS ?? mkdtempSync(join(tmpdir(), "page-"));
mkdirSync(shots, { recursive: true });
const folder = mkdtempSync(join(tmpdir(), "page-diary-"));
const diary = join(folder, "diary.toml");

const faults = [];
let checks = 0;
const server = spawn(BIN, ["serve", "--now", NOW, "--units", "us", "--diary", diary], { cwd: folder });
server.on("exit", (code) => { if (code !== 0) faults.push(`the server ended with ${code}`); });
const root = await new Promise((told) => createInterface(server.stdout).once("line", told));
const browser = await chromium.launch({
  executablePath,
  args: ["--no-sandbox", "--disable-gpu", "--disable-quic", "--no-first-run",
    "--disable-background-networking", "--disable-component-update", "--disable-sync"],
});

/** Words with every kind of space as one: the terminal has no space that does not break. */
const plain = (words) => words.replace(/\s+/g, " ").trim();
const headline = async (page) => plain(await page.locator("#headline").textContent());
// The diary comes last: what it learns changes the answers.
const journeys = {
  ...planJourneys({ BIN, NOW, folder, open, check, look, sent }),
  ...todayJourneys({ folder, open, check, look, sent }),
  ice, sizes, dough, charts, noted, scriptless, byKeyboard,
};
try {
  for (const [name, journey] of Object.entries(journeys)) await told(name, journey);
  for (const [name, path] of [["start", ""], ["ice", `ice?${STARS}`], ["ice-own-sizes", "ice?shape=cup&across=70+mm&base=50+mm&depth=4+cm&units=metric"],
    ["ice-faulty", "ice?shape=box&air=180"], ["dough", "dough"], ["thaw", "thaw"], ["cool", "cool"], ["first", "first"], ["diary", "diary"]]) {
    await told(`look at ${name}`, () => look(name, path));
  }
} finally {
  await browser.close();
  server.kill("SIGINT");
  await new Promise((ended) => (server.exitCode === null ? server.on("exit", ended) : ended()));
}
faults.forEach((fault) => console.log(fault));
console.log(`page: ${Object.keys(journeys).length} journeys, ${checks} checks, ${faults.length} faults; screenshots in ${shots}`);
process.exit(faults.length || !checks ? 1 : 0);

/** A journey that breaks off is one fault, and the others go on. */
async function told(name, journey) {
  try {
    await journey();
  } catch (error) {
    faults.push(`${name}: ${error.message.split("\n").slice(0, 4).join(" ")}`);
  }
}

function check(holds, words) {
  checks += 1;
  if (!holds) faults.push(words);
}

/** Sends what was typed: the page asks whether anybody answers before it goes. */
async function sent(page, act) {
  await Promise.all([page.waitForEvent("framenavigated"), act()]);
}

/** What the command prints first. */
function command(...args) {
  return execFileSync(BIN, [...args, "--now", NOW, "--no-diary", "--units", "us"], { encoding: "utf8" }).split("\n")[0];
}

/** Waits until the script has put in the answer to the form as it stands, which its address then says. */
async function renewed(page, change) {
  await change();
  await page.waitForFunction(() => {
    const form = new URLSearchParams(new FormData(document.querySelector("form[data-live]"))).toString();
    return location.search === `?${form}` && !/^Working/.test(document.getElementById("status").textContent);
  });
}

/** From an empty start to a night that works: the answer follows the form, and a remedy is really taken. */
async function ice() {
  const page = await open("");
  await page.getByRole("link", { name: "Ice Will tonight's" }).click();
  const stars = command("ice", "--mould", "star", "--count", "4", "--at", "2026-12-06T18:30", "--by", "2026-12-07T07:00");
  check(await headline(page) === stars, `ice: “${await headline(page)}” on the page, “${stars}” from the command`);
  await renewed(page, async () => {
    await page.getByLabel("Shape", { exact: true }).selectOption("bucket");
    await page.getByLabel("How many at once").fill("1");
  });
  const bucket = command("ice", "--mould", "bucket", "--count", "1", "--at", "2026-12-06T18:30", "--by", "2026-12-07T07:00");
  check(await headline(page) === bucket, `ice: “${await headline(page)}” on the page, “${bucket}” from the command`);
  check(page.url().includes("shape=bucket"), "ice: the address does not keep the form");
  check(plain(await page.locator("#status").textContent()) === bucket, "ice: the new answer is not told to screen readers");
  const help = page.locator("button[name=try]").first();
  const words = await help.textContent();
  const solid = () => page.locator("#answer .rows").textContent();
  const before = await solid();
  await help.click();
  await page.waitForURL(/#answer$/);
  check(await solid() !== before, `ice: “${words}” changed nothing`);
  await renewed(page, () => page.getByLabel("Temperature in it").fill("180"));
  const air = page.locator("#air");
  check(await air.getAttribute("aria-invalid") === "true", "ice: a freezer of 180 °F is not marked");
  check(/between/.test(await page.locator("#air-words").textContent()), "ice: the fault does not stand beside its field");
  check(await page.locator("#answer #headline").count() === 0, "ice: an old answer stands beside a fault");
  await renewed(page, () => air.fill("0 F"));
  check(await air.getAttribute("aria-invalid") === null, "ice: a mended field stays marked");
  await page.context().close();
}

/** Only the sizes that the shape has are asked for, and the drawing follows them. */
async function sizes() {
  const page = await open("ice");
  check(await page.getByLabel("Width").isHidden(), "sizes: a star is asked for its width");
  await page.getByLabel("Shape", { exact: true }).selectOption("box");
  check(await page.getByLabel("Width").isVisible(), "sizes: a box is not asked for its width");
  for (const [name, size] of [["Length", "10 cm"], ["Width", "8 cm"], ["Depth", "4 cm"]]) {
    await renewed(page, () => page.getByLabel(name, { exact: true }).fill(size));
  }
  const drawn = () => page.locator("#drawing").innerHTML();
  const flat = await drawn();
  check(flat.includes("<svg"), "sizes: no drawing");
  await renewed(page, () => page.getByLabel("Depth", { exact: true }).fill("9 cm"));
  check(await drawn() !== flat, "sizes: the drawing does not follow the depth");
  await page.context().close();
}

/** Oven and air side by side, and the ways to have it dry in time. */
async function dough() {
  const page = await open("");
  await page.getByRole("navigation").getByRole("link", { name: "Dough" }).click();
  const made = ["dough", "--thickness", "1/4 in", "--size", "3 in"];
  const time = ["--at", "2026-12-06T18:30", "--by", "2026-12-09T08:00"];
  const said = (await page.locator(".headline").allTextContents()).map(plain);
  check(said[0] === command(...made, "--oven", "200 F", ...time), `dough: the oven says “${said[0]}”`);
  check(said[1] === command(...made, "--air-dry"), `dough: the air says “${said[1]}”`);
  check(await page.getByText("to be sure").count() > 5, "dough: no ways to have it dry in time");
  await renewed(page, () => page.getByLabel("Humidity of the room").fill("80 %"));
  check((await page.locator(".headline").nth(1).textContent()).startsWith("Never dries"), "dough: it dries in a room of 80 %");
  await page.getByRole("link", { name: "use mm" }).click();
  await page.waitForURL(/units=metric/);
  check(/humidity=80/.test(page.url()) && /units=metric/.test(page.url()), "dough: the switch of units loses the form");
  await page.context().close();
}

/** No label of a chart lies on a line, whatever is asked and however wide it is. */
async function charts() {
  // A fault to be mended: its lines lie so near that “mean” stands against the upright of “dry”. No other may come.
  const known = "dough?thickness=1/8+in&size=3+in&humidity=55&units=us";
  const night = "at=2026-12-06T18:30&by=2026-12-07T07:00&units=us";
  const ices = ["star", "bucket"].flatMap((shape) => ["-10", "5", "25"].map((air) => `ice?shape=${shape}&count=4&air=${air}+F&${night}`));
  const doughs = ["1/8", "1/4", "1/2"].flatMap((thick) => ["30", "55", "65"].map((humid) => `dough?thickness=${thick}+in&size=3+in&humidity=${humid}&units=us`));
  for (const width of [390, 1280]) {
    const page = await open("", { viewport: { width, height: 900 } });
    for (const path of [...ices, ...doughs]) {
      await page.goto(root + path);
      const { labels, crossed } = await page.evaluate(onLines);
      check(labels > 5, `charts: ${path} has ${labels} labels`);
      check(crossed.length === 0 || path === known, `charts: ${path} at ${width} px: a line lies on “${crossed.join("”, “")}”`);
    }
    await page.context().close();
  }
}

/** In the page: the labels of its charts, and those that a line crosses; the dotted lines of the scale do not count. */
function onLines() {
  const EDGE = 2.5; // px of a label's box above and below its letters
  const charts = [...document.querySelectorAll(".chart svg")];
  const crossed = charts.flatMap((chart) => {
    const lines = [...chart.querySelectorAll("line, polyline, path")].filter((line) => !line.closest("pattern")
      && getComputedStyle(line).stroke !== "none" && line.getAttribute("stroke-dasharray") !== "1 4");
    const points = lines.flatMap((line) => Array.from({ length: Math.ceil(line.getTotalLength()) }, (_, n) =>
      line.getPointAtLength(n).matrixTransform(line.getScreenCTM())));
    return [...chart.querySelectorAll("text")].filter((label) => {
      const { left, right, top, bottom } = label.getBoundingClientRect();
      return points.some(({ x, y }) => x > left && x < right && y > top + EDGE && y < bottom - EDGE);
    }).map((label) => label.textContent);
  });
  return { labels: document.querySelectorAll(".chart text").length, crossed };
}

/** A filling is noted, and a look is one tap. */
async function noted() {
  const page = await open("ice");
  await page.getByRole("button", { name: "Note this filling" }).click();
  await page.getByRole("button", { name: "Still wet" }).click();
  check(/Noted: wet/.test(await page.getByRole("status").first().textContent()), "diary: a tap is not confirmed");
  await page.getByText("Not so?").click();
  await page.getByRole("button", { name: /^Take back/ }).click();
  check(/The look is taken back/.test(await page.getByRole("status").first().textContent()), "diary: a look is not taken back");
  check(/seen = \[\]/.test(readFileSync(diary, "utf8")), "diary: the look that was taken back is in the file");
  await page.getByRole("button", { name: "Still wet" }).click();
  check(/seen = \["2026-12-06T18:30:00-07:00 wet"\]/.test(readFileSync(diary, "utf8")), "diary: the look is not in the file");
  await page.goto(`${root}ice?${STARS}`);
  check(/Learnt from 1 note/.test(await page.locator("#answer").textContent()), "diary: the answer does not learn");
  await page.context().close();
}

/** All of it without script: forms, faults, remedies, drawing. */
async function scriptless() {
  const page = await open("ice", { javaScriptEnabled: false });
  await page.getByLabel("Shape", { exact: true }).selectOption("round");
  await page.getByLabel("Size across").fill("80 mm");
  await page.getByRole("button", { name: "Work it out" }).click();
  check(/needed for a round pan/.test(await page.locator("#depth-words").textContent()), "without script: no fault beside the field");
  await page.getByLabel("Depth", { exact: true }).fill("50 mm");
  await page.getByRole("button", { name: "Work it out" }).click();
  check(/Firm by/.test(await headline(page)), "without script: no answer");
  check(await page.locator("#drawing svg").count() === 1, "without script: no drawing");
  await page.locator("button[name=try]").first().click();
  check(/Firm by/.test(await headline(page)), "without script: no answer to a remedy");
  await page.goto(`${root}dough`);
  check(await page.locator(".headline").count() === 2, "without script: no answer on dough");
  await page.goto(`${root}diary`);
  await page.getByRole("button", { name: "Solid" }).first().click();
  check(/Noted: solid/.test(await page.locator("main").textContent()), "without script: no tap");
  await page.context().close();
}

/** By the keyboard alone: to the page, through the form, to an answer; focus is always seen. */
async function byKeyboard() {
  const page = await open("");
  const focused = () => page.evaluate(() => {
    const at = document.activeElement;
    const look = getComputedStyle(at);
    return { words: (at.textContent || at.id).trim(), seen: look.outlineStyle !== "none" && parseFloat(look.outlineWidth) >= 2 };
  });
  const tabTo = async (wanted) => {
    for (let n = 0; n < 60; n += 1) {
      await page.keyboard.press("Tab");
      const { words, seen } = await focused();
      if (words && !seen) faults.push(`keyboard: the focus on “${words.slice(0, 40)}” is not seen`);
      if (words.startsWith(wanted)) return;
    }
    throw new Error(`“${wanted}” is not reached`);
  };
  await tabTo("To the content");
  await tabTo("Ice");
  await page.keyboard.press("Enter");
  await page.waitForURL(/ice/);
  await tabTo("count");
  await page.keyboard.press("Control+A");
  await page.keyboard.type("2");
  await page.keyboard.press("Enter");
  await page.waitForURL(/count=2/);
  const two = command("ice", "--mould", "star", "--count", "2", "--at", "2026-12-06T18:30", "--by", "2026-12-07T07:00");
  check((await page.locator("#answer").textContent()).includes("2 blocks"), `keyboard: no answer for two (${two})`);
  await page.context().close();
}

/** Each width, light and dark: nothing wider than the screen, nothing too small to tap, nothing axe objects to. */
async function look(name, path) {
  for (const width of WIDTHS) {
    for (const colorScheme of ["light", "dark"]) {
      const page = await open(path, { viewport: { width, height: 900 }, colorScheme });
      await page.screenshot({ path: join(shots, `${name}-${width}-${colorScheme}.png`), fullPage: true });
      const where = `${name} at ${width} px, ${colorScheme}`;
      const overflow = await page.evaluate(() => document.documentElement.scrollWidth - innerWidth);
      check(overflow <= 0, `${where}: ${overflow} px wider than the screen`);
      const small = await page.evaluate(() => [...document.querySelectorAll("a, button, input:not([type=hidden]), select, summary")]
        .filter((part) => part.getClientRects().length && !part.closest("p:not(.units), li p, li > a, .skip, footer"))
        .filter((part) => { const box = part.getBoundingClientRect(); return box.right > 0 && (box.width < 24 || box.height < 24); })
        .map((part) => part.outerHTML.slice(0, 80)));
      check(small.length === 0, `${where}: too small to tap: ${small.join(" | ")}`);
      await page.evaluate(AXE);
      const found = await page.evaluate((tags) => axe.run({ runOnly: tags }), RULES);
      checks += 1;
      for (const { id, impact, nodes } of found.violations) {
        faults.push(`${where}: axe ${id} (${impact}): ${nodes.slice(0, 2).map((n) => n.html.slice(0, 120)).join(" | ")}`);
      }
      await page.context().close();
    }
  }
}

/** A page of ours in a browser that notes whatever is said or asked elsewhere. */
async function open(path, options = {}) {
  const page = await (await browser.newContext(options)).newPage();
  const own = new URL(root).origin;
  page.on("console", (message) => faults.push(`${path}: console: ${message.text()}`));
  page.on("pageerror", (error) => faults.push(`${path}: ${error}`));
  page.on("dialog", (dialog) => { faults.push(`${path}: a dialog opened`); dialog.dismiss(); });
  page.on("request", (request) => {
    const url = request.url();
    if (!url.startsWith(`${own}/`) && !url.startsWith("data:")) faults.push(`${path}: asked for ${url}`);
  });
  await page.goto(root + path);
  return page;
}
