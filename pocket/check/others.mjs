// The journeys that another family of browsers could spoil: Firefox, by its own remote protocol,
// and WebKit, by its WebDriver (Debian: firefox-esr, webkit2gtk-driver, xvfb). What is not
// installed is left out with a line. Usage: node others.mjs PAGE.html SITE
import { spawn } from "node:child_process";
import { existsSync, mkdtempSync, readdirSync, readFileSync, rmSync, writeFileSync } from "node:fs";
import { tmpdir } from "node:os";
import { join, resolve } from "node:path";
import { pathToFileURL } from "node:url";
import { firefox, reached } from "./firefox.mjs";
import { served } from "./served.mjs";
import { undriven } from "./undriven.mjs";

const [PAGE, SITE] = process.argv.slice(2).map((path) => resolve(path));
const disk = pathToFileURL(PAGE).href;
const folder = mkdtempSync(join(tmpdir(), "pocket-others-"));
const faults = [];
let ports = 2700;
const TITLE = "document.querySelector('form.plan input[type=text]')?.value";
const REVISION = "document.querySelector('form.plan [name=revision]')?.value";

const journeys = { through, phone, twoTabs, full, forbidden, site };
await told("Firefox", gecko, { ...journeys, killed });
await told("WebKit", webkit, journeys);
await told("WebKit", () => undriven({ folder, page: PAGE }), { killed });
try {
  rmSync(folder, { recursive: true, force: true });
} catch (error) {
  console.log(`left behind: ${error.message}`);
}
process.exit(faults.length ? 1 : 0);

async function told(name, begin, journeys) {
  const before = faults.length;
  let version;
  for (const [journey, go] of Object.entries(journeys)) {
    version = await gone(`${name}, ${journey}`, begin, go) ?? version;
    if (version === "none") return console.log(`others: ${name} skipped, not installed`);
  }
  console.log(`others: ${name} ${version}: ${Object.keys(journeys).length} journeys, ${faults.length - before} faults`);
}

/** Goes a journey in a browser of its own: the version of the browser, "none" where there is none. */
async function gone(what, begin, journey) {
  // One try of many has failed without a cause that was found: what fails is told and tried once more.
  for (let tries = 1; tries <= 2; tries += 1) {
    let browser;
    try {
      browser = await begin();
      if (!browser) return "none";
      await journey(user(browser));
      return browser.version;
    } catch (error) {
      console.log(`others: ${what}, try ${tries}: ${error.message}`);
      if (tries === 2) faults.push(what);
    } finally {
      browser?.end();
    }
  }
}

/** What somebody does in a browser. */
function user(browser) {
  const { js } = browser;
  const until = async (script, what) => {
    for (let n = 0; n < 600; n += 1) {
      const found = await js(`return ${script}`);
      if (found) return found;
      await new Promise((passed) => setTimeout(passed, 100));
    }
    throw new Error(`${what}: ${await js("return `${location.hash} ${[...document.querySelectorAll('.notice')].map((it) => it.innerText)} ${document.body.innerText.slice(0, 300)}`")}`);
  };
  const press = async (words) => {
    const found = `[...document.querySelectorAll("a, button")].find((it) => it.textContent.includes(${JSON.stringify(words)}))`;
    await until(`(() => { const it = ${found}; it?.click(); return !!it; })()`, `no “${words}” to press`);
  };
  const type = (field, value) => js(`const field = document.querySelector(${JSON.stringify(field)}); field.value = ${JSON.stringify(value)}; field.dispatchEvent(new Event("input", { bubbles: true }))`);
  const reads = (words, what) => until(`document.body.innerText.includes(${JSON.stringify(words)})`, what);
  const open = async (address) => {
    await browser.go(address);
    await until("!!document.querySelector('h1')", "it does not open");
  };
  /** A new plan, by its form. */
  const newPlan = async () => {
    await press("Plan");
    await press("Start a new plan");
    await until(REVISION, "no form of a plan");
  };
  /** Types a title; it is kept once the form has another revision. */
  const retitle = async (title) => {
    const revision = await js(`return ${REVISION}`);
    await type("form.plan input[type=text]", title);
    await until(`${REVISION} !== '${revision}'`, `“${title}” is not kept`);
  };
  const titled = (title, what) => until(`${TITLE} === ${JSON.stringify(title)}`, what);
  const again = async () => user(await browser.again());
  return { ...browser, again, until, press, type, reads, open, newPlan, retitle, titled };
}

/** Ice that follows its form, a plan that is kept, opened again, laid out and undone. */
async function through({ js, until, press, type, open, newPlan, retitle, titled }) {
  await open(disk);
  await press("Ice");
  await until("document.querySelector('#headline')?.textContent", "no answer");
  await type("#count", "6");
  await until("/count=6/.test(location.hash)", "the answer does not follow the form");
  await newPlan();
  await retitle("Kept");
  await open(`${disk}?again#/plan?units=us`);
  await titled("Kept", "opened again, the plan is another one");
  await press("Calendar of steps");
  await until("!!document.querySelector('.days')", "the plan is not laid out");
  await open(`${disk}?undo#/plan?units=us`);
  await titled("Kept", "the plan is gone");
  await press("Undo the last change");
  await until(`${TITLE} && ${TITLE} !== "Kept"`, "the change is not taken back");
  if (await js("return !!document.querySelector('.trouble')")) throw new Error("it says that nothing is kept");
}

/** At the size of a phone no page is wider than the screen. Windows cannot be so narrow; a frame can. */
async function phone({ js, go, until, press, newPlan, inFrame }) {
  const file = join(folder, "phone.html");
  writeFileSync(file, `<!doctype html><iframe src="${disk}" style="border: 0; width: 390px; height: 844px"></iframe>`);
  await go(pathToFileURL(file).href);
  await inFrame();
  await until("!!document.querySelector('h1')", "it does not open");
  const fits = async (page) => {
    const [wide, screen] = await js("return [document.documentElement.scrollWidth, innerWidth]");
    if (screen !== 390) throw new Error(`the screen is ${screen} wide`);
    if (wide > screen) throw new Error(`${page} is ${wide} wide on a screen of ${screen}`);
  };
  await fits("the start");
  for (const page of ["Ice", "Dough"]) {
    await press(page);
    await until("document.querySelector('.headline, #headline')?.textContent", `no answer of ${page}`);
    await fits(page);
  }
  await newPlan();
  await fits("the plan");
  await press("Calendar of steps");
  await until("!!document.querySelector('.days')", "the plan is not laid out");
  await fits("the calendar of steps");
}

/** What one tab has kept the other does not overwrite, and what was typed in it stays. */
async function twoTabs({ js, open, newPlan, retitle, type, reads, titled, tab }) {
  await open(disk);
  await newPlan();
  const title = await js(`return ${TITLE}`);
  const first = await tab.here();
  const second = await tab.another();
  await tab.to(second);
  await open(`${disk}?second#/plan?units=us`);
  await titled(title, "the second tab shows another plan");
  await tab.to(first);
  await retitle("From the first");
  await tab.to(second);
  // A tab that comes to the front shows what is kept, where the browser tells it that it does.
  await new Promise((passed) => setTimeout(passed, 1000));
  if (await js(`return ${TITLE}`) !== "From the first") {
    await type("form.plan input[type=text]", "From the second");
    await reads("changed in another tab", "the second tab is not told");
    await titled("From the second", "what was typed is gone");
  }
  await open(`${disk}?third#/plan?units=us`);
  await titled("From the first", "the second tab has overwritten the first");
}

/** A full store is said; what was typed stays, and is kept as soon as there is room. */
async function full({ js, until, reads, open, newPlan, retitle, titled }) {
  await open(disk);
  await newPlan();
  await js(`
    const put = IDBObjectStore.prototype.put;
    document.documentElement.dataset.full = "yes";
    IDBObjectStore.prototype.put = function (...all) {
      if (!document.documentElement.dataset.full) return put.apply(this, all);
      Object.defineProperty(this.transaction, "error", { value: new DOMException("full", "QuotaExceededError") });
      this.transaction.abort();
    }`);
  await retitle("While it was full");
  await reads("room for this page is full", "a full store is not said");
  await js("delete document.documentElement.dataset.full");
  await retitle("Room again");
  await until("!document.body.innerText.includes('room for this page is full')", "it is still said when there is room");
  await open(`${disk}?again#/plan?units=us`);
  await titled("Room again", "what was kept later is not there");
}

/** A browser that keeps nothing says so, and the work goes on. */
async function forbidden({ reads, open, newPlan, retitle, titled }) {
  const opens = 'indexedDB.open("solidby", 1)';
  const text = readFileSync(PAGE, "utf8");
  if (!text.includes(opens)) throw new Error("the page opens its store in other words");
  const refused = text.replace(opens, '(() => { throw new DOMException("no", "SecurityError"); })()');
  // The policy knows the script by its hash.
  const file = join(folder, "forbidden.html");
  writeFileSync(file, refused.replace(/<meta http-equiv="Content-Security-Policy"[^>]*>/, ""));
  await open(pathToFileURL(file).href);
  await reads("This browser keeps nothing", "it is not said that nothing is kept");
  await newPlan();
  await retitle("Only here");
  await reads("This browser keeps nothing", "it is not said on every page");
  await titled("Only here", "what was typed is gone");
}

/** Killed while it keeps what is typed, it has the whole plan each time, old or new. */
async function killed(first) {
  let browser = first;
  const address = browser.address ?? disk;
  await browser.open(address);
  await browser.newPlan();
  try {
    for (let n = 1; n <= 4; n += 1) {
      await browser.retitle(`Kept ${n}`);
      await browser.type("form.plan input[type=text]", `Half kept ${n}`);
      await new Promise((passed) => setTimeout(passed, 300 + 20 * n));
      browser = await browser.again();
      await browser.open(`${address}?killed=${n}#/plan?units=us`);
      await browser.until(`["Kept ${n}", "Half kept ${n}"].includes(${TITLE})`, `killed after “Kept ${n}”, it has lost the plan`);
    }
  } finally {
    if (browser.end !== first.end) browser.end();
  }
}

/** As a site it opens without the network, once it has loaded. */
async function site({ js, until, open, newPlan, retitle, titled }) {
  const { address, asked, cut } = await served(SITE);
  await open(address);
  await until("!!navigator.serviceWorker?.controller", "it does not install");
  await newPlan();
  await retitle("On the phone");
  await cut();
  await open(`${address}?cut#/plan?units=us`);
  await titled("On the phone", "the plan is not there without the network");
  const known = ["/index.html", "/service.js", "/manifest.webmanifest", "/sign.svg", "/sign.png"];
  const other = asked.filter((path) => !known.includes(path));
  if (other.length) throw new Error(`asked for ${other}`);
  if (await js("return !!document.querySelector('.trouble')")) throw new Error("it says that nothing is kept");
}

/** Firefox by Marionette. */
async function gecko(home) {
  ports += 1;
  const browser = await firefox({ folder, home, port: ports });
  if (!browser) return undefined;
  const { ask, version, end } = browser;
  const again = () => {
    end();
    return gecko(browser.home);
  };
  const js = async (script) => (await ask("WebDriver:ExecuteScript", { script, args: [] })).value;
  const tab = {
    here: async () => (await ask("WebDriver:GetWindowHandle")).value,
    another: async () => (await ask("WebDriver:NewWindow", { type: "tab" })).handle,
    to: (handle) => ask("WebDriver:SwitchToWindow", { handle }),
  };
  const inFrame = () => ask("WebDriver:SwitchToFrame", { id: 0 });
  return { version, js, tab, inFrame, again, end, go: (url) => ask("WebDriver:Navigate", { url }) };
}

/** WebKit by its WebDriver, on a screen that nobody sees. */
async function webkit() {
  const libraries = "/usr/lib/x86_64-linux-gnu";
  const named = existsSync(libraries) ? readdirSync(libraries).filter((name) => name.startsWith("webkit2gtk-4")) : [];
  const binary = named.map((name) => join(libraries, name, "MiniBrowser")).find(existsSync);
  if (!binary || !["/usr/bin/WebKitWebDriver", "/usr/bin/xvfb-run"].every(existsSync)) return undefined;
  ports += 1;
  const port = ports + 1800 + (process.pid % 200);
  const driver = spawn("/usr/bin/xvfb-run", ["-a", "/usr/bin/WebKitWebDriver", `--port=${port}`], { stdio: "ignore", detached: true });
  const ask = async (method, path, body) => {
    const reply = await fetch(`http://127.0.0.1:${port}${path}`, { method, body: body && JSON.stringify(body) });
    const { value } = await reply.json();
    if (value?.error) throw new Error(value.message);
    return value;
  };
  const options = { binary, args: ["--automation"] };
  const { sessionId, capabilities } = await reached(() => ask("POST", "/session", { capabilities: { alwaysMatch: { "webkitgtk:browserOptions": options } } }));
  const own = (method, path, body) => ask(method, `/session/${sessionId}${path}`, body);
  const js = (script) => own("POST", "/execute/sync", { script, args: [] });
  const tab = {
    here: () => own("GET", "/window"),
    another: async () => (await own("POST", "/window/new", { type: "tab" })).handle,
    to: (handle) => own("POST", "/window", { handle }),
  };
  return {
    version: capabilities.browserVersion,
    js,
    tab,
    inFrame: () => own("POST", "/frame", { id: 0 }),
    go: (url) => own("POST", "/url", { url }),
    end() { process.kill(-driver.pid, "SIGTERM"); },
  };
}
