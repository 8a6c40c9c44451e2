// How fast the pocket is on one thread of a real browser, beside the command in the same run.
// Usage: node speed.mjs PAGE.html BIN
import { execFileSync } from "node:child_process";
import { readFileSync } from "node:fs";
import { resolve } from "node:path";
import { pathToFileURL } from "node:url";
import { chromium } from "playwright-core";

const [PAGE, BIN] = process.argv.slice(2).map((path) => resolve(path));
const ROUNDS = 15;
const PLAN = "demo/whole-december.toml";
const executablePath = process.env.CHROMIUM ?? "/usr/bin/chromium";
const browser = await chromium.launch({ executablePath, args: ["--no-sandbox", "--disable-gpu", "--no-first-run"] });
const page = await browser.newPage({ timezoneId: "America/Denver", locale: "en-US" });
await page.goto(pathToFileURL(PAGE).href);
await page.waitForSelector("h1");
const paint = await page.evaluate(() => performance.getEntriesByName("first-contentful-paint")[0].startTime);

/** Milliseconds until the pocket has answered each of some commands, one after the other. */
const inPocket = (commands, files) => page.evaluate(async ([commands, files]) => {
  const times = [];
  for (const command of commands) {
    const began = performance.now();
    const answer = await globalThis.pocket.command(command, files);
    if (answer.status !== 0) throw new Error(answer.body.slice(0, 200));
    times.push(performance.now() - began);
  }
  return times;
}, [commands, files]);

/** Milliseconds of processor that one thread of the command takes. */
function native(command) {
  const script = "import resource,subprocess,sys; subprocess.run(sys.argv[1:],stdout=subprocess.DEVNULL,check=True); u=resource.getrusage(resource.RUSAGE_CHILDREN); print((u.ru_utime+u.ru_stime)*1000)";
  return Number(execFileSync("python3", ["-c", script, BIN, ...command], { encoding: "utf8", env: { ...process.env, RAYON_NUM_THREADS: "1" } }));
}

const middle = (times) => [...times].sort((a, b) => a - b)[Math.floor(times.length / 2)];
const ice = (n) => ["ice", "--mould", "snowflake", "--count", "4", "--at", `20:${10 + n}`, "--by", "tomorrow 07:00", "--zone", "America/Denver", "--now", "2026-11-27T08:00:00-07:00"];
const plan = (n) => ["plan", PLAN, "--now", `2026-11-25T08:${10 + n}:00-07:00`];
const files = { [PLAN]: readFileSync(PLAN, "utf8") };
for (const [what, command, rounds] of [["ice, snowflake, 4", ice, ROUNDS], ["the month's plan", plan, 5]]) {
  const commands = Array.from({ length: rounds }, (_, n) => command(n));
  await inPocket(commands.slice(0, 3), files); // warm
  const [here, there] = [[], []];
  for (const one of commands) {
    there.push(...await inPocket([one], files));
    here.push(native(one));
  }
  console.log(`${what}: ${middle(there).toFixed(0)} ms in the pocket, ${middle(here).toFixed(0)} ms of processor from the command, ${(middle(there) / middle(here)).toFixed(2)} times`);
}
console.log(`first paint from disk after ${paint.toFixed(0)} ms`);
await browser.close();
