// Six ways through the page, in two browsers, with its script and without, clicks and answers
// counted. Usage: node journeys.mjs BIN. A browser that is not installed is left out with a line;
// with CI set it fails for want of Chromium.
import { execFileSync, spawn } from "node:child_process";
import { copyFileSync, mkdirSync, mkdtempSync, readFileSync, rmSync, writeFileSync } from "node:fs";
import { tmpdir } from "node:os";
import { join, resolve } from "node:path";
import { createInterface } from "node:readline";
import ICAL from "ical.js";
import { browsers } from "./browsers.mjs";

const BIN = resolve(process.argv[2]);
// The morning of the demo's first session: what froze in the night is turned out soon.
const NOW = "2026-12-09T06:30:00-07:00";
const FOLLOWED_SINCE = "2026-11-27T08:00:00-07:00";
const [DESK, PHONE] = [1280, 390];
const MOST_ANSWERS = 12;

const JOURNEYS = {
  "a first plan, from nothing to its calendar file": { walk: firstPlan, answers: MOST_ANSWERS },
  "a session moved": { walk: moved, clicks: 4 },
  "one wet block told": { walk: wet, clicks: 3, answers: 1 },
  "a change undone": { walk: undone, clicks: 4 },
  "a failed plan mended by its button": { walk: mended, clicks: 3 },
  "a phone asks about ice": { walk: ice, width: PHONE, clicks: 2, answers: 5 },
};

const folder = mkdtempSync(join(tmpdir(), "journeys-"));
const faults = [];
let through = 0;
const widest = Math.max(...Object.keys(JOURNEYS).map((name) => name.length));
const plan = (name) => join(folder, `${name}.toml`);
copyFileSync("demo/forest-fortnight.toml", plan("fortnight"));
const thick = readFileSync("tests/infeasible/too-thick-to-dry.toml", "utf8");
writeFileSync(plan("thick"), thick.replace("give = 2026-12-18", "give = 2026-12-30"));
command("plan", plan("fortnight"), "--now", FOLLOWED_SINCE, "--keep");
const server = spawn(BIN, ["serve", "--now", NOW, "--units", "us", "--no-diary"], { cwd: folder, env: { ...process.env, TZ: "America/Denver" } });
server.on("exit", (code) => { if (code) faults.push(`the server ended with ${code}`); });
const root = await new Promise((told) => createInterface(server.stdout).once("line", told));

const began = Date.now();
row("journey", "browser", "script", { answers: "answers", clicks: "clicks" });
try {
  for (const [name, begin] of Object.entries(browsers)) await inBrowser(name, begin);
} finally {
  server.kill("SIGINT");
  await new Promise((ended) => (server.exitCode === null ? server.on("exit", ended) : ended()));
  rmSync(folder, { recursive: true, force: true, maxRetries: 5 });
}
faults.forEach((fault) => console.log(fault));
console.log(`journeys: ${through} went through in ${Math.round((Date.now() - began) / 1000)} s, ${faults.length} faults`);
process.exit(faults.length || !through ? 1 : 0);

function row(journey, browser, script, { answers, clicks }) {
  console.log(`${journey.padEnd(widest)}  ${browser.padEnd(8)}  ${script.padEnd(6)}  ${String(answers).padStart(7)}  ${String(clicks).padStart(6)}`);
}

async function inBrowser(name, begin) {
  const own = join(folder, name);
  mkdirSync(own);
  const browser = await begin(own);
  if (!browser) {
    console.log(`journeys: ${name} skipped, not installed`);
    if (process.env.CI && name === "Chromium") faults.push(`${name} is not installed`);
    return;
  }
  try {
    for (const script of [true, false]) {
      for (const [journey, { walk, width = DESK, answers = 0, clicks = Infinity }] of Object.entries(JOURNEYS)) {
        const tab = await browser.open({ script, width });
        const she = counted(tab);
        try {
          await walk(she, script);
          if (she.answers > answers || she.clicks > clicks) throw new Error(`${she.answers} answers and ${she.clicks} clicks, more than ${answers} and ${clicks}`);
          row(journey, name, script ? "on" : "off", she);
          through += 1;
        } catch (error) {
          faults.push(`${journey}, ${name}, script ${script ? "on" : "off"}: ${error.message.split("\n").slice(0, 3).join(" ")}`);
        }
        await tab.close();
      }
    }
  } finally {
    await browser.end();
  }
}

/** The acts of a user, each counted: an answer is a field filled, a click anything pressed. */
function counted(tab) {
  const button = (words) => `//*[self::button or self::a or self::summary][not(@aria-hidden)][starts-with(normalize-space(.), "${words}")]`;
  const field = (label) => `//*[@id = //label[normalize-space(.) = "${label}"]/@for]`;
  return {
    ...tab,
    answers: 0,
    clicks: 0,
    button,
    field,
    open: (path) => tab.go(root + path),
    press(words) { return this.pressAt(button(words)); },
    async pressAt(place) { this.clicks += 1; await tab.press(place); },
    async fill(label, value) { this.answers += 1; await tab.type(field(label), value); },
    async pick(label, words) { this.answers += 1; await tab.choose(field(label), words); },
    async download(words) { this.clicks += 1; return tab.file(button(words)); },
    reads: (label) => tab.value(field(label)),
    /** Waits until the page says so; a page that is on its way has nothing to read yet. */
    async sees(words, where = "//main") {
      for (let n = 0; ; n += 1) {
        const said = (await tab.text(where).catch(() => "")).replace(/\s+/g, " ");
        if (words.test(said)) return said;
        if (n === 100) throw new Error(`${words} is not said but “${said.slice(0, 200)}”`);
        await new Promise((passed) => setTimeout(passed, 100));
      }
    },
  };
}

function command(...args) {
  return execFileSync(BIN, args, { encoding: "utf8", stdio: ["ignore", "pipe", "ignore"] });
}

function holds(it, words) {
  if (!it) throw new Error(words);
}

/** That plan open, or none; what is open stays so for whoever comes next. */
async function begin(she, name) {
  await she.open("plan");
  if (await she.has(she.button("Put it away"))) await she.press("Put it away");
  await she.sees(/Start a new plan/);
  if (name) {
    await she.press(`${name}.toml`);
    await she.sees(/Groups/);
  }
  she.clicks = 0;
}

async function firstPlan(she) {
  await begin(she);
  await she.open("");
  await she.press("A first plan");
  await she.fill("What your group is called", "Wrens");
  await she.fill("How many children", "6");
  await she.fill("Day and time of the first session", "2026-12-15T09:30");
  await she.pick("Shape of the blocks", "heart");
  await she.fill("How many of these you have", "8");
  await she.pick("Kind of freezer", "chest freezer");
  await she.fill("Hands free at home from", "18:00");
  await she.fill("Hands free at home until", "21:00");
  await she.fill("When you leave for school that day", "08:50");
  holds(await she.reads("Time zone") === "America/Denver", "the zone of this computer is not there");
  await she.press("Make the plan");
  const text = await she.download("Download the calendar");
  const events = new ICAL.Component(ICAL.parse(text)).getAllSubcomponents("vevent");
  holds(events.length > 3, `another program reads ${events.length} events`);
}

async function moved(she) {
  await begin(she, "fortnight");
  const at = '//*[@id="session.0.1.at"]';
  holds(await she.value(at) === "2026-12-10T09:30", "the demo has other days");
  await she.press("A class day later: session 2");
  await she.sees(/Groups/);
  holds(await she.value(at) === "2026-12-15T09:30", "the session has not moved");
  await she.press("Calendar of steps");
  await she.sees(/Download the calendar/);
  await she.sees(/Tue(sday)?,? Dec 15/);
}

async function wet(she) {
  await begin(she, "fortnight");
  await she.open("today");
  const step = /Turn out and bag/;
  await she.sees(step);
  const kept = () => readFileSync(join(folder, "fortnight.kept.toml"), "utf8");
  await she.press("Something else of: Turn out and bag");
  const wet = await she.text('//label[starts-with(., "Still wet")]');
  await she.fill(wet, "1");
  await she.press("Some are wet");
  await she.sees(/Noted: .*1 .*wet/, '//*[@role="status"]');
  holds(/^wet = 1/m.test(kept()), "the wet block is not in the file");
  await she.press("Take back what was told last");
  await she.sees(/Taken back/, '//*[@role="status"]');
  holds(!/^wet = 1/m.test(kept()), "what was taken back is still in the file");
}

async function undone(she) {
  await begin(she, "fortnight");
  const was = await she.reads("Title");
  await she.type(she.field("Title"), "Another title");
  await she.press("Check");
  await she.sees(/changes that are not saved/);
  holds(await she.reads("Title") === "Another title", "the change is not taken");
  await she.press("Undo the last change");
  await she.sees(/Make it again/);
  holds(await she.reads("Title") === was, "the change is not taken back");
}

async function mended(she) {
  await begin(she, "thick");
  await she.press("Calendar of steps");
  await she.sees(/cannot be done/);
  const way = '//button[@name="way"]';
  await she.text(way);
  await she.pressAt(way);
  await she.sees(/The plan is changed by that/);
  holds(await she.has('//p[contains(@class, "verdict yes")]'), "the mended plan fails too");
  await she.press("Change");
  await she.sees(/Undo the last change/);
  holds(await she.value('//*[@id="ornament.0.thickness"]') !== "1", "nothing is changed in the plan");
}

async function ice(she, script) {
  await she.open("");
  await she.press("Ice Will");
  await she.pick("Shape", "bucket");
  await she.fill("How many at once", "6");
  await she.fill("Filled", "2026-12-08T18:30");
  await she.fill("Needed solid", "2026-12-09T07:00");
  await she.pick("Kind", "chest freezer");
  if (script) {
    await she.sees(/./, '//*[@id="status"]');
    const seen = await she.js(`(() => { const box = document.getElementById("status").getBoundingClientRect(); return box.top >= 0 && box.bottom <= innerHeight; })()`);
    holds(seen, "the answer is out of sight while she types");
  } else {
    await she.press("Work it out");
  }
  const wanted = command("ice", "--mould", "bucket", "--count", "6", "--freezer", "chest", "--at", "2026-12-08T18:30", "--by", "2026-12-09T07:00", "--now", NOW, "--no-diary", "--units", "us");
  const line = wanted.split("\n")[0].replace(/\s+/g, " ").trim();
  await she.sees(new RegExp(line.replace(/[.*+?^${}()|[\]\\]/g, "\\$&")), '//*[@id="headline"]');
}
