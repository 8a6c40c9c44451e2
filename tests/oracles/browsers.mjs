// Two browsers with the same few acts, by XPath, so that a journey is written once: Chromium by
// playwright-core, Firefox by Marionette. All of them work with the page's script turned off too.
import { existsSync, readdirSync, readFileSync, unlinkSync } from "node:fs";
import { join } from "node:path";
import { chromium } from "playwright-core";
import { firefox, reached } from "./firefox.mjs";

const CHROMIUM = [process.env.CHROMIUM, "/usr/bin/chromium", "/usr/bin/chromium-browser", "/usr/bin/google-chrome"];
const ARGS = ["--no-sandbox", "--disable-gpu", "--disable-quic", "--no-first-run",
  "--disable-background-networking", "--disable-component-update", "--disable-sync"];
const FOUND = 15_000; // ms until what is looked for must be there

/** Chromium, Firefox or nothing where it is not installed. */
export const browsers = { Chromium: withPlaywright, Firefox: withMarionette };

async function withPlaywright() {
  const executablePath = CHROMIUM.find((path) => path && existsSync(path));
  if (!executablePath) return undefined;
  const browser = await chromium.launch({ executablePath, args: ARGS });
  return { version: browser.version(), open: (options) => tab(browser, options), end: () => browser.close() };
}

async function tab(browser, { script, width }) {
  const context = await browser.newContext({ javaScriptEnabled: script, viewport: { width, height: 844 } });
  context.setDefaultTimeout(FOUND);
  const page = await context.newPage();
  const at = (xpath) => page.locator(`xpath=${xpath}`).first();
  return {
    go: (address) => page.goto(address),
    address: async () => page.url(),
    press: (xpath) => at(xpath).click(),
    type: (xpath, value) => at(xpath).fill(value),
    choose: (xpath, label) => at(xpath).selectOption({ label }),
    has: async (xpath) => await page.locator(`xpath=${xpath}`).count() > 0,
    text: (xpath) => at(xpath).innerText(),
    value: (xpath) => at(xpath).inputValue(),
    js: (expression) => page.evaluate(expression),
    async file(xpath) {
      const [download] = await Promise.all([page.waitForEvent("download"), at(xpath).click()]);
      return readFileSync(await download.path(), "utf8");
    },
    close: () => context.close(),
  };
}

async function withMarionette(folder) {
  const preferences = {
    "browser.download.folderList": 2,
    "browser.download.dir": folder,
    "browser.download.always_ask_before_handling_new_types": false,
    "browser.helperApps.neverAsk.saveToDisk": "text/calendar",
  };
  // It turns the page's script on and off, and makes the page as narrow as a phone.
  const browser = await firefox({ folder, port: 2701, preferences, args: ["--remote-allow-system-access"] });
  if (!browser) return undefined;
  const { ask } = browser;
  const script = async (script, args = []) => (await ask("WebDriver:ExecuteScript", { script, args })).value;
  const above = async (words, args) => {
    await ask("Marionette:SetContext", { value: "chrome" });
    await script(words, args);
    await ask("Marionette:SetContext", { value: "content" });
  };
  const open = async ({ script: on, width }) => {
    await ask("WebDriver:SetWindowRect", { width: 1280, height: 930 });
    await above(`Services.prefs.setBoolPref("javascript.enabled", arguments[0]);
      Object.assign(gBrowser.selectedBrowser.style, { minWidth: "0", maxWidth: arguments[1] });`, [on, `${width}px`]);
    return { ...acts(ask, folder), js: (expression) => script(`return ${expression}`) };
  };
  return { version: browser.version, open, end: browser.end };
}

function acts(ask, folder) {
  const all = async (xpath) => (await ask("WebDriver:FindElements", { using: "xpath", value: xpath })).map((found) => Object.values(found)[0]);
  /** Does it with the element once there is one; a page that comes in between takes its elements with it. */
  const at = (xpath, act) => until(async () => {
    const [element] = await all(xpath);
    if (!element) throw new Error(`nothing there: ${xpath}`);
    return act(element);
  });
  const property = async (id, name) => (await ask("WebDriver:GetElementProperty", { id, name })).value;
  const press = (xpath) => at(xpath, (id) => ask("WebDriver:ElementClick", { id }));
  return {
    go: (url) => ask("WebDriver:Navigate", { url }),
    address: async () => (await ask("WebDriver:GetCurrentURL")).value,
    press,
    type: (xpath, value) => at(xpath, async (id) => {
      await ask("WebDriver:ElementClear", { id });
      const typed = keys(value, await property(id, "type"));
      if (typed) await ask("WebDriver:ElementSendKeys", { id, text: typed });
      const now = await property(id, "value");
      if (now !== value) throw new Error(`typed “${value}”, “${now}” stands there`);
    }),
    choose: (xpath, label) => press(`${xpath}/option[normalize-space(.)="${label}"] | ${xpath}/optgroup/option[normalize-space(.)="${label}"]`),
    has: async (xpath) => (await all(xpath)).length > 0,
    text: (xpath) => at(xpath, async (id) => (await ask("WebDriver:GetElementText", { id })).value),
    value: (xpath) => at(xpath, (id) => property(id, "value")),
    async file(xpath) {
      await press(xpath);
      // It writes elsewhere first: what has its name and no other beside it is whole.
      const path = await reached(async () => {
        const names = readdirSync(folder);
        const name = names.find((name) => name.endsWith(".ics"));
        if (!name || names.some((name) => name.endsWith(".part"))) throw new Error("nothing was downloaded");
        return join(folder, name);
      });
      const text = readFileSync(path, "utf8");
      unlinkSync(path);
      return text;
    },
    close: () => ask("WebDriver:Navigate", { url: "about:blank" }),
  };
}

/** What Marionette is to type: a day with its time goes in key by key, month first and of twelve hours. */
function keys(value, type) {
  if (type !== "datetime-local") return value;
  const [year, month, day, hour, minute] = value.split(/\D/);
  return `${month}${day}${year}${String(hour % 12 || 12).padStart(2, "0")}${minute}${hour < 12 ? "AM" : "PM"}`;
}

async function until(act) {
  const end = Date.now() + FOUND;
  for (;;) {
    try {
      return await act();
    } catch (error) {
      if (Date.now() > end) throw error;
      await new Promise((passed) => setTimeout(passed, 50));
    }
  }
}
