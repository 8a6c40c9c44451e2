// The way through the pocket in the other two families of browsers: Firefox, by its own remote
// protocol, and WebKit, by its WebDriver (Debian: firefox-esr, webkit2gtk-driver, xvfb). From disk
// only; what is not installed is left out with a line. Usage: node others.mjs PAGE.html
import { spawn } from "node:child_process";
import { existsSync, mkdtempSync, readdirSync, rmSync } from "node:fs";
import { tmpdir } from "node:os";
import { join, resolve } from "node:path";
import { pathToFileURL } from "node:url";
import { firefox, reached } from "./firefox.mjs";

const page = pathToFileURL(resolve(process.argv[2])).href;
const folder = mkdtempSync(join(tmpdir(), "pocket-others-"));
const faults = [];

await told("Firefox", gecko);
await told("WebKit", webkit);
try {
  rmSync(folder, { recursive: true, force: true });
} catch (error) {
  console.log(`left behind: ${error.message}`);
}
process.exit(faults.length ? 1 : 0);

async function told(name, begin) {
  // One try of many has failed without a cause that was found: what fails is told and tried once more.
  for (let tries = 1; tries <= 2; tries += 1) {
    let browser;
    try {
      browser = await begin(tries);
      if (!browser) return console.log(`others: ${name} skipped, not installed`);
      await through(browser);
      return console.log(`others: ${name} ${browser.version}: the way through is open`);
    } catch (error) {
      console.log(`others: ${name}, try ${tries}: ${error.message}`);
      if (tries === 2) faults.push(name);
    } finally {
      browser?.end();
    }
  }
}

/** Ice that follows its form, a plan that is kept, opened again, laid out and undone. */
async function through({ go, js }) {
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
    await until(`!!${found}`, `no “${words}” to press`);
    await js(`${found}.click()`);
  };
  const type = (field, value) => js(`const field = document.querySelector(${JSON.stringify(field)}); field.value = ${JSON.stringify(value)}; field.dispatchEvent(new Event("input", { bubbles: true }))`);
  const title = "document.querySelector('form.plan input[type=text]')?.value";
  await go(page);
  await until("!!document.querySelector('h1')", "it does not open");
  await press("Ice");
  await until("document.querySelector('#headline')?.textContent", "no answer");
  await type("#count", "6");
  await until("/count=6/.test(location.hash)", "the answer does not follow the form");
  await press("Plan");
  await press("Start a new plan");
  const revision = await until("document.querySelector('form.plan [name=revision]')?.value", "no form of a plan");
  await type("form.plan input[type=text]", "Kept");
  await until(`document.querySelector('form.plan [name=revision]').value !== '${revision}'`, "it is not kept");
  await go(`${page}?again#/plan?units=us`);
  await until(`${title} === "Kept"`, "opened again, the plan is another one");
  await press("Calendar of steps");
  await until("!!document.querySelector('.days')", "the plan is not laid out");
  await go(`${page}?undo#/plan?units=us`);
  await until(`${title} === "Kept"`, "the plan is gone");
  await press("Undo the last change");
  await until(`${title} && ${title} !== "Kept"`, "the change is not taken back");
  if (await js("return !!document.querySelector('.trouble')")) throw new Error("it says that nothing is kept");
}

/** Firefox by Marionette. */
async function gecko(tries) {
  const browser = await firefox({ folder, port: 2700 + tries });
  if (!browser) return undefined;
  const { ask, version, end } = browser;
  return {
    version,
    go: (url) => ask("WebDriver:Navigate", { url }),
    js: async (script) => (await ask("WebDriver:ExecuteScript", { script, args: [] })).value,
    end,
  };
}

/** WebKit by its WebDriver, on a screen that nobody sees. */
async function webkit(tries) {
  const libraries = "/usr/lib/x86_64-linux-gnu";
  const named = existsSync(libraries) ? readdirSync(libraries).filter((name) => name.startsWith("webkit2gtk-4")) : [];
  const binary = named.map((name) => join(libraries, name, "MiniBrowser")).find(existsSync);
  if (!binary || ![ "/usr/bin/WebKitWebDriver", "/usr/bin/xvfb-run"].every(existsSync)) return undefined;
  const port = 4500 + 200 * tries + (process.pid % 200);
  const driver = spawn("/usr/bin/xvfb-run", ["-a", "/usr/bin/WebKitWebDriver", `--port=${port}`], { stdio: "ignore", detached: true });
  const ask = async (method, path, body) => {
    const reply = await fetch(`http://127.0.0.1:${port}${path}`, { method, body: body && JSON.stringify(body) });
    const { value } = await reply.json();
    if (value?.error) throw new Error(value.message);
    return value;
  };
  const options = { binary, args: ["--automation"] };
  const { sessionId, capabilities } = await reached(() => ask("POST", "/session", { capabilities: { alwaysMatch: { "webkitgtk:browserOptions": options } } }));
  return {
    version: capabilities.browserVersion,
    go: (url) => ask("POST", `/session/${sessionId}/url`, { url }),
    js: (script) => ask("POST", `/session/${sessionId}/execute/sync`, { script, args: [] }),
    end() { process.kill(-driver.pid, "SIGTERM"); },
  };
}
