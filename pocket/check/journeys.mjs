// Uses the pocket as its users would, in a real browser: from disk, and as a site whose network is
// cut once it has loaded. Usage: node journeys.mjs PAGE.html SITE BIN
// SHOTS=DIR keeps screenshots. Without a browser it is skipped with a line; with CI set it fails.
import { execFileSync } from "node:child_process";
import { existsSync, mkdirSync, mkdtempSync, readFileSync, rmSync, writeFileSync } from "node:fs";
import { tmpdir } from "node:os";
import { join, resolve } from "node:path";
import { pathToFileURL } from "node:url";
import { chromium } from "playwright-core";
import { served } from "./served.mjs";

const [PAGE, SITE, BIN] = process.argv.slice(2).map((path) => resolve(path));
const NOW = "2026-12-06T18:30:00-07:00";
const ZONE = "America/Denver";
const BROWSERS = [process.env.CHROMIUM, "/usr/bin/chromium", "/usr/bin/chromium-browser", "/usr/bin/google-chrome"];
const executablePath = BROWSERS.find((path) => path && existsSync(path));
if (!executablePath) {
  console.log("pocket: skipped, no Chromium found (set CHROMIUM to its path)");
  process.exit(process.env.CI ? 1 : 0);
}
const shots = process.env.SHOTS ?? mkdtempSync(join(tmpdir(), "pocket-"));
mkdirSync(shots, { recursive: true });
const disk = pathToFileURL(PAGE).href;
const faults = [];
let checks = 0;

const journeys = { ice, plan, today, undone, opened, diary, share, stopped, waited, twoTabs, forbidden, full, unreadable, killed, site };
for (const [name, journey] of Object.entries(journeys)) {
  try {
    await journey();
  } catch (error) {
    faults.push(`${name}: ${error.message.split("\n").slice(0, 4).join(" ")}`);
  }
}
faults.forEach((fault) => console.log(fault));
console.log(`pocket: ${Object.keys(journeys).length} journeys, ${checks} checks, ${faults.length} faults; screenshots in ${shots}`);
process.exit(faults.length || !checks ? 1 : 0);

function check(holds, words) {
  checks += 1;
  if (!holds) faults.push(words);
}

function plain(words) {
  return words.replace(/\s+/g, " ").trim();
}

/** A browser of a user whose folder is kept, on a phone. */
async function browserOf(folder = mkdtempSync(join(tmpdir(), "pocket-user-")), options = {}) {
  const context = await chromium.launchPersistentContext(folder, {
    executablePath, viewport: { width: 390, height: 844 }, timezoneId: ZONE, locale: "en-US", acceptDownloads: true, ...options,
    args: ["--no-sandbox", "--disable-gpu", "--disable-quic", "--no-first-run", "--disable-background-networking", "--disable-component-update", "--disable-sync"],
  });
  await context.clock.setFixedTime(NOW);
  context.on("page", watch);
  context.pages().forEach(watch);
  return { context, folder, page: context.pages()[0], async end() { await context.close(); await forget(folder); } };
}

/** Takes a user's folder away; what a process of the browser still writes after its end is no fault of the page. */
async function forget(folder) {
  for (let tries = 1; tries <= 20; tries += 1) {
    try {
      return rmSync(folder, { recursive: true, force: true });
    } catch (error) {
      if (tries === 20) console.log(`left behind: ${error.message}`);
      await new Promise((passed) => setTimeout(passed, 100));
    }
  }
}

/** Notes whatever is said to the console or asked of another host. */
function watch(page) {
  page.on("console", (message) => faults.push(`console: ${message.text()}`));
  page.on("pageerror", (error) => faults.push(`error: ${error}`));
  page.on("request", (request) => {
    if (!/^(file|blob|data|http:\/\/127\.0\.0\.1)/.test(request.url())) faults.push(`asked for ${request.url()}`);
  });
}

/** The page at an address once it has opened. */
async function open(page, address = disk) {
  await page.goto(address);
  await page.waitForSelector("h1");
}

async function headline(page) {
  return plain(await page.locator("#headline").textContent());
}

function command(...words) {
  return plain(execFileSync(BIN, [...words, "--now", NOW, "--zone", ZONE, "--no-diary", "--units", "us"], { encoding: "utf8" }).split("\n")[0]);
}

/** A plan begun from an empty start. */
async function newPlan(page) {
  await page.getByRole("link", { name: "Plan", exact: true }).click();
  await page.getByRole("button", { name: "Start a new plan" }).click();
  await page.waitForSelector("form.plan");
}

/** Types into the title of the plan and waits until it is kept. */
async function retitle(page, title) {
  const before = await page.locator("form.plan [name=revision]").inputValue();
  await page.getByLabel("Title").fill(title);
  await page.waitForFunction((before) => document.querySelector("form.plan [name=revision]").value !== before, before);
}

async function downloaded(page, press) {
  const [download] = await Promise.all([page.waitForEvent("download"), press()]);
  return { name: download.suggestedFilename(), text: readFileSync(await download.path(), "utf8") };
}

/** Answers follow the form, a remedy is taken, dough as well, and the way back leads back. */
async function ice() {
  const { page, end } = await browserOf();
  await open(page);
  await page.screenshot({ path: join(shots, "start.png"), fullPage: true });
  await page.getByRole("link", { name: "Ice Will tonight's" }).click();
  await page.waitForSelector("#headline");
  const night = ["--at", "2026-12-06T18:30", "--by", "2026-12-07T07:00"];
  check(await headline(page) === command("ice", "--mould", "star", "--count", "4", ...night), `ice: “${await headline(page)}”`);
  await page.getByLabel("Shape", { exact: true }).selectOption("bucket");
  await page.getByLabel("How many at once").fill("1");
  await page.waitForFunction(() => /shape=bucket.*count=1/.test(location.hash));
  const bucket = command("ice", "--mould", "bucket", "--count", "1", ...night);
  check(await headline(page) === bucket, `ice: “${await headline(page)}” in the pocket, “${bucket}” from the command`);
  check(plain(await page.locator("#status").textContent()) === bucket, "ice: the new answer is not told to screen readers");
  await page.screenshot({ path: join(shots, "ice.png"), fullPage: true });
  await page.locator("button[name=try]").first().click();
  await page.waitForFunction(() => location.hash.endsWith("#answer"));
  check(await headline(page) !== bucket, `ice: a remedy changed nothing of “${bucket}”`);
  await page.goBack();
  await page.waitForFunction(() => /shape=bucket/.test(location.hash) && !/#answer$/.test(location.hash));
  await page.getByRole("navigation").getByRole("link", { name: "Dough" }).click();
  await page.waitForFunction(() => document.querySelectorAll(".headline").length === 2);
  const made = ["dough", "--thickness", "1/4 in", "--size", "3 in"];
  const time = ["--at", "2026-12-06T18:30", "--by", "2026-12-09T08:00"];
  const said = (await page.locator(".headline").allTextContents()).map(plain);
  check(said[0] === command(...made, "--oven", "200 F", ...time), `dough: the oven says “${said[0]}”`);
  check(said[1] === command(...made, "--air-dry"), `dough: the air says “${said[1]}”`);
  await end();
}

/** A plan is followed and told what happened; closed and opened again, it is still told. */
async function today() {
  const { page, context, folder } = await browserOf();
  await open(page);
  await choose(page, "tomorrow.toml", readFileSync("tests/data/ice-tomorrow.toml", "utf8"));
  await page.waitForSelector("form.plan");
  await page.getByRole("navigation").getByRole("link", { name: "Today" }).click();
  await page.getByRole("button", { name: "Follow this plan" }).click();
  await page.getByRole("button", { name: /^Done/ }).first().click();
  const said = plain(await page.locator(".box[role=status]").filter({ hasText: "Noted:" }).textContent());
  check(/^#\/today\?.*said=1/.test(await page.evaluate(() => location.hash)), "today: a tap is not answered by a page with an address");
  check(/^Noted: .*: done /.test(said), `today: “${said}”`);
  await page.screenshot({ path: join(shots, "today.png"), fullPage: true });
  const { name, text } = await downloaded(page, () => page.getByRole("link", { name: "Save what happened to a file" }).click());
  check(name === "tomorrow.kept.toml" && /^\[\[happened\]\]/m.test(text), `today: ${name} does not tell what happened`);
  await context.close();
  const again = await browserOf(folder);
  await open(again.page);
  await again.page.getByRole("navigation").getByRole("link", { name: "Today" }).click();
  await again.page.getByRole("button", { name: "Take back what was told last" }).click();
  const back = again.page.locator(".box[role=status]").filter({ hasText: "Taken back:" });
  check(/^Taken back: /.test(plain(await back.textContent())), "today: nothing is taken back");
  await again.end();
}

/** A plan made, saved to a file, laid out, put into the calendar; closed, and there again. */
async function plan() {
  const user = await browserOf();
  await open(user.page);
  await newPlan(user.page);
  await retitle(user.page, "Otters in winter");
  await user.page.screenshot({ path: join(shots, "plan.png") });
  const saved = await downloaded(user.page, () => user.page.getByRole("link", { name: "Save to a file" }).click());
  check(saved.name === "plan.toml" && saved.text.includes("Otters in winter"), `plan: saved as ${saved.name}`);
  const folder = mkdtempSync(join(tmpdir(), "pocket-files-"));
  const file = join(folder, saved.name);
  writeFileSync(file, saved.text);
  await user.page.getByRole("button", { name: "Calendar of steps" }).click();
  await user.page.waitForSelector(".days");
  await user.page.screenshot({ path: join(shots, "steps.png") });
  const calendar = await downloaded(user.page, () => user.page.getByRole("link", { name: /calendar file/ }).click());
  execFileSync(BIN, ["plan", file, "--now", NOW, "--zone", ZONE, "--no-diary", "--ics", join(folder, "command.ics"), "--sheet", join(folder, "command.html")], { stdio: "pipe" });
  const written = readFileSync(join(folder, "command.ics"), "utf8");
  check(calendar.text === written, "plan: the calendar file is not the one that the command writes");
  const sheet = await downloaded(user.page, () => user.page.getByRole("link", { name: "Sheet to print" }).click());
  const kept = plain(await user.page.getByRole("alert").textContent());
  check(kept === "plan-sheet.html is saved where this browser puts its downloads. Open it from there to look at it or to print it.", `plan: “${kept}” of the sheet`);
  check(sheet.name === "plan-sheet.html" && sheet.text === readFileSync(join(folder, "command.html"), "utf8"), "plan: the sheet is not the one that the command writes");
  await user.context.close();
  const again = await browserOf(user.folder);
  await open(again.page);
  await again.page.getByRole("link", { name: "Plan", exact: true }).click();
  check(await again.page.getByLabel("Title").inputValue() === "Otters in winter", "plan: closed and opened again, it is another one");
  await again.end();
}

/** Every change is taken back by one tap, also a plan that was put away. */
async function undone() {
  const { page, end } = await browserOf();
  await open(page);
  await newPlan(page);
  const before = await page.getByLabel("Title").inputValue();
  await retitle(page, "A mistake");
  await page.getByRole("button", { name: "Undo the last change" }).click();
  await page.waitForFunction((before) => document.querySelector("form.plan input[type=text]").value === before, before);
  await page.getByRole("button", { name: /^Put it away/ }).click();
  await page.getByRole("button", { name: "Start a new plan" }).waitFor();
  await page.getByRole("button", { name: "Undo the last change" }).click();
  await page.waitForSelector("form.plan");
  check(await page.getByLabel("Title").inputValue() === before, "undone: the plan that was put away is not back");
  await end();
}

async function choose(page, name, text) {
  const [chooser] = await Promise.all([page.waitForEvent("filechooser"), page.getByRole("button", { name: "Open a file" }).first().click()]);
  await chooser.setFiles({ name, mimeType: "text/plain", buffer: Buffer.from(text) });
}

/** A plan from a file, the same as the command reads; what is none changes nothing. */
async function opened() {
  const { page, end } = await browserOf();
  await open(page);
  await choose(page, "forest.toml", readFileSync("demo/forest-fortnight.toml", "utf8"));
  await page.waitForSelector("form.plan");
  check(/forest\.toml/.test(await page.locator(".where").textContent()), "opened: its name is not shown");
  await choose(page, "photo.jpg", "\u0000 no text");
  await page.getByRole("alert").filter({ hasText: "neither a plan nor a diary" }).waitFor();
  check(/forest\.toml/.test(await page.locator(".where").textContent()), "opened: a photo took the plan's place");
  await page.getByRole("link", { name: "As text" }).click();
  const text = page.locator("textarea[name=text]");
  await text.fill(`${await text.inputValue()}\n[[freezer`);
  await page.getByRole("button", { name: "Take this text" }).click();
  await page.getByText("There is a mistake in the TOML").waitFor();
  await end();
}

/** A filling is noted, a look is one tap, and both are there the next morning. */
async function diary() {
  const user = await browserOf();
  await open(user.page, `${disk}#/ice?units=us`);
  await user.page.getByRole("button", { name: "Note this filling" }).click();
  await user.page.getByRole("button", { name: "Still wet" }).click();
  await user.page.getByRole("status").filter({ hasText: "Noted: wet" }).waitFor();
  await user.page.getByText("Not so?").click();
  await user.page.getByRole("button", { name: "Take back “wet after 0 min”" }).click();
  await user.page.getByRole("status").filter({ hasText: "The look is taken back" }).waitFor();
  await user.page.getByRole("button", { name: "Still wet" }).click();
  await user.page.getByRole("status").filter({ hasText: "Noted: wet" }).waitFor();
  const saved = await downloaded(user.page, () => user.page.getByRole("link", { name: "Save the diary" }).click());
  check(/seen = \["2026-12-06T18:30:00-07:00 wet"\]/.test(saved.text), "diary: the look is not in the file");
  await user.context.close();
  const again = await browserOf(user.folder);
  await open(again.page, `${disk}#/ice?units=us`);
  check(/Learnt from 1 note/.test(await again.page.locator("#answer").textContent()), "diary: the answer does not learn");
  await again.end();
  const other = await browserOf();
  await open(other.page);
  await choose(other.page, "diary.toml", saved.text);
  await other.page.getByText("Still wet").first().waitFor();
  await other.end();
}

/** A phone that shares files is asked which is wanted. */
async function share() {
  const { page, end } = await browserOf(undefined, { hasTouch: true, isMobile: true });
  await page.addInitScript(() => {
    navigator.canShare = () => true;
    navigator.share = async ({ files }) => { globalThis.shared = files[0].name; };
  });
  await open(page);
  await newPlan(page);
  await page.getByRole("link", { name: "Save to a file" }).click();
  await page.screenshot({ path: join(shots, "share.png") });
  await page.getByRole("button", { name: "Share" }).click();
  check(await page.evaluate(() => globalThis.shared) === "plan.toml", "share: the file is not shared");
  await end();
}

/** What takes its time can be stopped, and the next question is answered. */
async function stopped() {
  const { page, end } = await browserOf();
  await open(page);
  await choose(page, "december.toml", readFileSync("demo/whole-december.toml", "utf8"));
  await page.waitForSelector("form.plan");
  await page.getByRole("button", { name: "Calendar of steps" }).click();
  await page.getByRole("button", { name: "Stop" }).click();
  await page.getByRole("alert").filter({ hasText: "Stopped" }).waitFor();
  check(await page.locator("form.plan").count() === 1, "stopped: the plan is gone");
  await page.getByRole("navigation", { name: "Pages" }).getByRole("link", { name: "Ice" }).click();
  await page.waitForSelector("#headline");
  await end();
}

/** What takes its time says so; the second time, how far it is beside how long it took the first time. */
async function waited() {
  const { page, end } = await browserOf();
  await open(page);
  await page.evaluate(() => {
    globalThis.waits = [];
    const look = () => {
      const line = document.querySelector(".busy");
      if (line) globalThis.waits.push([line.innerText, line.querySelector("progress").hasAttribute("value")]);
    };
    new MutationObserver(look).observe(document.documentElement, { childList: true, subtree: true, attributes: true });
  });
  const laidOut = async (demo) => {
    await choose(page, `${demo}.toml`, readFileSync(`demo/${demo}.toml`, "utf8"));
    await page.waitForSelector("form.plan");
    await page.evaluate(() => { globalThis.waits = []; });
    await page.getByRole("button", { name: "Calendar of steps" }).click();
    await page.waitForSelector(".days");
    return page.evaluate(() => globalThis.waits);
  };
  const first = await laidOut("whole-december");
  check(first.length > 0 && first.every(([words, share]) => /Working it out/.test(words) && !share), `waited: ${JSON.stringify(first[0])}`);
  const second = await laidOut("forest-fortnight");
  check(second.length > 0 && second.every(([words]) => /it took \d+ s last time/.test(words)), `waited: ${JSON.stringify(second[0])}`);
  check(second.some(([, share]) => share), "waited: it is not said how far it is");
  await end();
}

/** Two tabs: what the first has kept the second cannot overwrite, and keeps what was typed in it. */
async function twoTabs() {
  const { context, page: first, end } = await browserOf();
  await open(first);
  await newPlan(first);
  const second = await context.newPage();
  await open(second, `${disk}#/plan?units=us`);
  await retitle(first, "From the first");
  await second.getByLabel("Title").fill("From the second");
  await second.getByRole("alert").filter({ hasText: "changed in another tab" }).waitFor();
  check(await second.getByLabel("Title").inputValue() === "From the second", "two tabs: what was typed is gone");
  await second.getByRole("button", { name: "Check", exact: true }).last().click();
  await second.getByRole("alert").filter({ hasText: "changed in another window" }).waitFor();
  check(await second.getByLabel("Title").inputValue() === "From the first", "two tabs: the second does not show what is kept");
  check(/Title: From the second/.test(plain(await second.locator("main").textContent())), "two tabs: what was typed in the second is not shown");
  await second.getByRole("button", { name: "Put it into the plan" }).click();
  await second.waitForFunction(() => document.querySelector("form.plan input[type=text]").value === "From the second");
  // Both at once: both are kept.
  for (const tab of [first, second]) await open(tab, `${disk}?${tab === first}#/ice?units=us`);
  await Promise.all([first, second].map((tab) => tab.getByRole("button", { name: "Note this filling" }).click()));
  await Promise.all([first, second].map((tab) => tab.waitForSelector(".notes")));
  await open(first, `${disk}?again#/diary?units=us`);
  check(await first.locator(".notes > li").count() === 2, `two tabs: ${await first.locator(".notes > li").count()} of two notes are kept`);
  await end();
}

/** A browser that keeps nothing says so; the work goes on and can be saved. */
async function forbidden() {
  const { page, end } = await browserOf();
  await page.addInitScript(() => { indexedDB.open = () => { throw new DOMException("no", "SecurityError"); }; });
  await open(page);
  await page.getByText("This browser keeps nothing").waitFor();
  await newPlan(page);
  await retitle(page, "Only here");
  check(await page.getByText("This browser keeps nothing").count() === 1, "forbidden: it is not said on every page");
  await page.screenshot({ path: join(shots, "forbidden.png") });
  const saved = await downloaded(page, () => page.getByRole("link", { name: "Save to a file" }).click());
  check(saved.text.includes("Only here"), "forbidden: what was typed is not in the file");
  await end();
}

/** A full store is said; what was typed stays, and is kept as soon as there is room. */
async function full() {
  const { page, end } = await browserOf();
  await page.addInitScript(() => {
    const put = IDBObjectStore.prototype.put;
    // As a browser does it: the transaction is taken back with that error.
    IDBObjectStore.prototype.put = function (...all) {
      if (globalThis.room !== false) return put.apply(this, all);
      Object.defineProperty(this.transaction, "error", { value: new DOMException("full", "QuotaExceededError") });
      this.transaction.abort();
    };
  });
  await open(page);
  await newPlan(page);
  await page.evaluate(() => { globalThis.room = false; });
  await retitle(page, "While it was full");
  await page.getByText("room for this page is full").waitFor();
  await retitle(page, "Still full");
  await page.evaluate(() => { globalThis.room = true; });
  await retitle(page, "Room again");
  check(await page.getByText("room for this page is full").count() === 0, "full: it is still said when there is room");
  await open(page, `${disk}?again#/plan?units=us`);
  check(await page.getByLabel("Title").inputValue() === "Room again", "full: what was kept later is not there");
  await end();
}

/** What another version has kept is neither read wrongly nor overwritten. */
async function unreadable() {
  const { page, end } = await browserOf();
  await open(page);
  await newPlan(page);
  const kept = () => page.evaluate(() => new Promise((told) => {
    indexedDB.open("solidby").onsuccess = ({ target: { result: base } }) => {
      base.transaction("kept").objectStore("kept").get(0).onsuccess = ({ target }) => { base.close(); told(target.result); };
    };
  }));
  const { text } = await kept();
  await page.evaluate((text) => new Promise((told) => {
    indexedDB.open("solidby").onsuccess = ({ target: { result: base } }) => {
      const change = base.transaction("kept", "readwrite");
      change.objectStore("kept").put({ number: 50, text }, 0);
      change.oncomplete = () => { base.close(); told(); };
    };
  }), text.replace('"form":1', '"form":9'));
  await page.goto(`${disk}?again`);
  await page.getByText("cannot be read").waitFor();
  check((await kept()).number === 50, "unreadable: it was overwritten");
  await end();
}

/** The browser is killed while it keeps what is typed: each time the whole plan is there, old or new. */
async function killed() {
  const folder = mkdtempSync(join(tmpdir(), "pocket-user-"));
  let last = "Killed 0";
  for (let n = 0; n < 5; n += 1) {
    const { context, page } = await browserOf(folder);
    await open(page, `${disk}#/plan?units=us`);
    if (n === 0) await page.getByRole("button", { name: "Start a new plan" }).click();
    await page.waitForSelector("form.plan");
    const title = await page.getByLabel("Title").inputValue();
    if (n > 0) check(title === last || title === `${last}, not yet confirmed`, `killed: the title is “${title}” after “${last}”`);
    last = `Killed ${n}`;
    await retitle(page, last);
    await page.getByLabel("Title").fill(`${last}, not yet confirmed`);
    await new Promise((passed) => setTimeout(passed, 330 + 20 * n));
    const session = await context.browser().newBrowserCDPSession();
    const { processInfo } = await session.send("SystemInfo.getProcessInfo");
    const closed = new Promise((told) => context.on("close", told));
    process.kill(processInfo.find(({ type }) => type === "browser").id, "SIGKILL");
    await closed;
    for (const lock of ["SingletonLock", "SingletonCookie", "SingletonSocket"]) rmSync(join(folder, lock), { force: true });
  }
  await forget(folder);
}

/** As a site it installs: once it has loaded, it opens and works without the network. */
async function site() {
  const { address, asked, cut } = await served(SITE);
  const { page, context, end } = await browserOf();
  await open(page, address);
  await page.evaluate(() => navigator.serviceWorker.ready);
  await page.waitForFunction(() => navigator.serviceWorker.controller);
  await newPlan(page);
  await retitle(page, "On the phone");
  await cut();
  await context.setOffline(true);
  const offline = await context.newPage();
  await open(offline, `${address}#/plan?units=us`);
  check(await offline.getByLabel("Title").inputValue() === "On the phone", "site: the plan is not there without the network");
  await offline.getByRole("navigation", { name: "Pages" }).getByRole("link", { name: "Ice" }).click();
  await offline.waitForSelector("#headline");
  check(asked.every((path) => ["/index.html", "/service.js", "/manifest.webmanifest", "/sign.svg", "/sign.png"].includes(path)), `site: asked for ${asked}`);
  await end();
}
