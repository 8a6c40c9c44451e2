// The pictures of the README, from the first demo. Usage, from the repository's root, once
// tests/oracles/run.sh has put this file beside its packages: node target/oracles/pictures.mjs BIN
import { spawn, spawnSync } from "node:child_process";
import { cpSync, mkdtempSync } from "node:fs";
import { tmpdir } from "node:os";
import { join, resolve } from "node:path";
import { pathToFileURL } from "node:url";
import { chromium } from "playwright-core";

const [bin, now, out] = [process.argv[2], "2026-11-27T08:00:00", "demo/pictures"];
const folder = mkdtempSync(join(tmpdir(), "pictures-"));
const plan = join(folder, "forest-fortnight.toml");
cpSync("demo/forest-fortnight.toml", plan);
const sheet = join(folder, "sheet.html");
spawnSync(bin, ["plan", plan, "--now", now, "--sheet", sheet]);

const browser = await chromium.launch({ executablePath: process.env.CHROMIUM ?? "/usr/bin/chromium", args: ["--no-sandbox"] });

/** The pages of the plan as they are at a moment. */
async function pages(now, look) {
  const serve = spawn(bin, ["serve", plan, "--now", now, "--json"], { env: { ...process.env, HOME: folder } });
  const { address } = JSON.parse(await new Promise((told) => serve.stdout.once("data", told)));
  await look(address);
  serve.kill();
}

async function picture(name, url, width, height) {
  const page = await browser.newPage({ viewport: { width, height }, colorScheme: "light" });
  await page.goto(url);
  await page.screenshot({ path: resolve(out, name) });
  await page.close();
}

await pages(now, (address) => picture("plan.png", `${address}plan/steps?units=us`, 1280, 800));
await pages("2026-12-08T18:25:00", (address) => picture("today.png", `${address}today?units=us`, 390, 800));
await picture("sheet.png", pathToFileURL(sheet).href, 760, 800);
await browser.close();
