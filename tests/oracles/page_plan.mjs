// The journeys of the plan page, for page.mjs: from an empty start to a calendar file that another
// program reads, with script, without it, and by the keyboard alone.
import { execFileSync } from "node:child_process";
import { copyFileSync, readFileSync } from "node:fs";
import { join } from "node:path";
import ICAL from "ical.js";

const MOST_SCREENS = 12;
const MOST_STOPS = 10; // of Tab

/** The journeys; `tools` are what page.mjs checks with. */
export function planJourneys({ BIN, NOW, folder, open, check, look, sent }) {
  return { firstPlan, planUnsent, planFromNothing, planWrong, planScriptless, planByKeyboard, planOnAPhone, planLooks };

  /** A page with no plan open. */
  async function begin(options = {}) {
    const page = await open("plan", options);
    const away = page.getByRole("button", { name: /^Put it away/ });
    if (await away.count()) await away.first().click();
    await page.getByRole("button", { name: "Start a new plan" }).waitFor();
    return page;
  }

  /** What the command writes for a file in the folder. */
  function written(name) {
    const out = join(folder, `${name}-command.ics`);
    execFileSync(BIN, ["plan", join(folder, `${name}.toml`), "--now", NOW, "--no-diary", "--force", "--ics", out]);
    return readFileSync(out, "utf8");
  }

  /** What a download holds. */
  async function downloaded(page) {
    const [download] = await Promise.all([page.waitForEvent("download"), page.getByRole("link", { name: /Download the calendar/ }).click()]);
    const path = join(folder, download.suggestedFilename());
    await download.saveAs(path);
    return readFileSync(path, "utf8");
  }

  function events(text) {
    return new ICAL.Component(ICAL.parse(text)).getAllSubcomponents("vevent").map((event) => new ICAL.Event(event));
  }

  /** From nothing to the calendar file in at most twelve answers, and none of them a guess at a unit. */
  async function firstPlan() {
    await (await begin()).context().close();
    const page = await open("");
    await page.getByRole("link", { name: /A first plan/ }).click();
    let answers = 0;
    const fill = async (label, value) => { answers += 1; await page.getByLabel(label, { exact: true }).fill(value); };
    const pick = async (label, value) => { answers += 1; await page.getByLabel(label, { exact: true }).selectOption({ label: value }); };
    await fill("What your group is called", "Wrens");
    await fill("How many children", "6");
    await fill("Day and time of the first session", "2026-12-15T09:30");
    await pick("Shape of the blocks", "heart");
    await fill("How many of these you have", "8");
    await pick("Kind of freezer", "chest freezer");
    await fill("Hands free at home from", "18:00");
    await fill("Hands free at home until", "21:00");
    await fill("When you leave for school that day", "09:40");
    await page.getByLabel("Time zone").fill("America/Denver");
    await sent(page, () => page.getByRole("button", { name: "Make the plan" }).click());
    check(/before the session/.test(await page.locator("#leave-words").textContent()), "first plan: who leaves too late is not told at the field");
    check(await page.getByLabel("How many children").inputValue() === "6", "first plan: what was typed is lost");
    await page.getByLabel("When you leave for school that day").fill("08:50");
    await page.getByRole("button", { name: "Make the plan" }).click();
    await page.waitForURL(/plan\/steps/);
    const found = events(await downloaded(page));
    check(answers + 1 <= 12, `first plan: ${answers + 1} answers`);
    check(found.length > 3, `first plan: another program reads ${found.length} events`);
    await page.getByRole("link", { name: "Change or save the plan" }).click();
    check(await page.getByLabel("Children").first().inputValue() === "6", "first plan: it is not the plan of the answers");
    await page.context().close();
    await look("first-taken", "first");
  }

  /** The browser asks before it leaves what was typed and not sent, and a send that fails loses nothing. */
  async function planUnsent() {
    const page = await begin();
    await page.getByRole("button", { name: "Start a new plan" }).click();
    const title = page.getByLabel("Title");
    const asks = () => page.evaluate(() => !dispatchEvent(new Event("beforeunload", { cancelable: true })));
    await title.waitFor();
    check(!await asks(), "plan: it asks before leaving where nothing was typed");
    await title.fill("Typed and not sent");
    check(await asks(), "plan: it does not ask before leaving what was typed");
    const humidity = page.locator("[id='room.humidity']");
    const unit = page.locator("[id='room.humidity-unit']");
    check(await unit.isVisible() && await unit.textContent() === "%", "plan: no unit beside a number");
    await humidity.fill("0.4 parts");
    check(await unit.isHidden(), "plan: a unit beside another unit");
    await humidity.fill("41");
    check(await unit.isVisible(), "plan: the unit does not come back");
    await page.evaluate(() => { globalThis.answering = fetch; globalThis.fetch = async () => { throw new TypeError("nobody answers"); }; });
    await page.getByRole("button", { name: "Check", exact: true }).click();
    await page.getByText("What you typed is still here").waitFor();
    check(await title.inputValue() === "Typed and not sent", "plan: a send that failed has lost what was typed");
    await page.evaluate(() => { globalThis.fetch = globalThis.answering; });
    await page.getByRole("button", { name: /^A class day later/ }).first().click();
    await page.waitForURL(/at=session/);
    check(await title.inputValue() === "Typed and not sent" && await humidity.inputValue() === "41", "plan: what was typed is not in the plan");
    check(!await asks(), "plan: it asks before leaving what was sent");
    await page.context().close();
  }

  async function planFromNothing() {
    const page = await begin();
    await page.getByRole("button", { name: "Start a new plan" }).click();
    await page.getByLabel("Title").fill("Snow & ice week");
    await page.getByLabel("Children").first().fill("7");
    await sent(page, () => page.getByRole("button", { name: "Another group" }).click());
    const name = page.locator("[id='group.1.name']");
    check(await name.evaluate((field) => field === document.activeElement), "plan: a new group is not in focus");
    await name.fill("Wrens");
    await sent(page, () => page.getByRole("button", { name: "Another session of Ice “Paint on ice”" }).click());
    const second = page.locator("[id='session.0.1.group']");
    await second.waitFor();
    check((await second.locator("option").allTextContents()).includes("Wrens"), "plan: the new group cannot be chosen");
    await page.getByLabel("Name of the file").fill("snow");
    await sent(page, () => page.getByRole("button", { name: "Save", exact: true }).click());
    check(/Saved\./.test(await page.getByRole("status").first().textContent()), "plan: it does not say that it is saved");
    const text = readFileSync(join(folder, "snow.toml"), "utf8");
    check(/^title = "Snow & ice week"$/m.test(text), "plan: the title is not in the file");
    check(/# an IANA name/.test(text), "plan: the remarks are not in the file");
    await sent(page, () => page.getByRole("button", { name: "Calendar of steps" }).click());
    await page.waitForURL(/plan\/steps/);
    const calendar = await downloaded(page);
    check(calendar === written("snow"), "plan: the calendar file is not that of the command");
    const found = events(calendar);
    check(found.length > 15, `plan: another program reads ${found.length} events`);
    const shown = await page.locator("main").textContent();
    for (const event of found.slice(0, 8)) {
      check(shown.includes(event.summary.replace(/^.*?: /, "")) || shown.includes(event.summary), `plan: “${event.summary}” is not on the page`);
    }
    await page.context().close();
    const sheet = await open("plan/sheet.html");
    check(/Prep sheet/.test(await sheet.locator("body").textContent()), "plan: no sheet");
    check((await sheet.locator("h1").evaluate((h1) => getComputedStyle(h1).fontSize)) !== "32px", "plan: the sheet has lost its style");
    await sheet.context().close();
  }

  async function planWrong() {
    const page = await begin();
    await page.getByRole("button", { name: "Start a new plan" }).click();
    await page.getByLabel("Oven set to").fill("200");
    await sent(page, () => page.getByRole("button", { name: "Calendar of steps" }).click());
    const field = page.locator("[id='ornament.0.at']");
    check(await field.getAttribute("aria-invalid") === "true", "plan: a number without a unit is not marked");
    check(/no unit/.test(await page.locator("[id='ornament.0.at-words']").textContent()), "plan: the fault does not stand beside its field");
    await page.getByRole("link", { name: /Ornaments .*, Oven set to/ }).click();
    check(await field.evaluate((at) => { const box = at.getBoundingClientRect(); return box.top >= 0 && box.bottom < innerHeight; }), "plan: the link does not lead to the field");
    await field.fill("200 F");
    await sent(page, () => page.getByRole("button", { name: "Calendar of steps" }).click());
    await page.waitForURL(/plan\/steps/);
    await page.context().close();
  }

  async function planScriptless() {
    const page = await begin({ javaScriptEnabled: false });
    await page.getByRole("button", { name: "Start a new plan" }).click();
    await page.getByLabel("Children").first().fill("0");
    await page.getByLabel("Name of the file").fill("plain");
    await sent(page, () => page.getByRole("button", { name: "Save", exact: true }).click());
    check(/out of range/.test(await page.locator("[id='group.0.children-words']").textContent()), "plan without script: no fault beside the field");
    await page.getByLabel("Children").first().fill("6");
    await page.getByLabel("Name of the file").fill("plain");
    await sent(page, () => page.getByRole("button", { name: "Save", exact: true }).click());
    await sent(page, () => page.getByRole("button", { name: "Calendar of steps" }).click());
    check(await downloaded(page) === written("plain"), "plan without script: the calendar file is not that of the command");
    await page.context().close();
  }

  async function planByKeyboard() {
    const page = await begin();
    const at = () => page.evaluate(() => {
      const at = document.activeElement;
      if (at === document.body) return { words: "", seen: true, hidden: false };
      const look = getComputedStyle(at);
      const box = at.getBoundingClientRect();
      const bar = document.querySelector(".bar");
      const top = bar && !bar.contains(at) ? bar.getBoundingClientRect().top : innerHeight;
      return {
        words: (at.id || at.textContent).trim(),
        seen: at.matches("[type=checkbox]") || (look.outlineStyle !== "none" && parseFloat(look.outlineWidth) >= 2),
        hidden: box.height > 0 && box.top >= top,
      };
    });
    const tabTo = async (wanted) => {
      for (let n = 1; n <= 150; n += 1) {
        await page.keyboard.press("Tab");
        const { words, seen, hidden } = await at();
        if (words && !seen) check(false, `plan by keyboard: the focus on “${words.slice(0, 40)}” is not seen`);
        if (hidden) check(false, `plan by keyboard: “${words.slice(0, 40)}” is behind the bar`);
        if (words.startsWith(wanted)) return n;
      }
      throw new Error(`“${wanted}” is not reached`);
    };
    await tabTo("Start a new plan");
    await page.keyboard.press("Enter");
    await page.waitForSelector("form.plan");
    await tabTo("group.0.children");
    await page.keyboard.press("Control+A");
    await page.keyboard.type("5");
    await tabTo("Another session");
    await page.keyboard.press("Enter");
    await page.waitForURL(/at=session/);
    check(await page.locator("[id='group.0.children']").inputValue() === "5", "plan by keyboard: what was typed is lost");
    await tabTo("as");
    await page.keyboard.type("keys");
    await tabTo("Save");
    await page.keyboard.press("Enter");
    await page.getByText("Saved.").waitFor();
    await page.reload();
    const stops = await tabTo("To the calendar");
    check(stops <= MOST_STOPS, `plan by keyboard: ${stops} stops of Tab to its calendar, ${MOST_STOPS} at most`);
    await page.keyboard.press("Enter");
    await page.waitForURL(/plan\/steps/);
    const more = await tabTo("Download the calendar");
    check(more <= MOST_STOPS, `plan by keyboard: ${more} stops of Tab to the calendar file, ${MOST_STOPS} at most`);
    const [download] = await Promise.all([page.waitForEvent("download"), page.keyboard.press("Enter")]);
    check(download.suggestedFilename() === "keys.ics", "plan by keyboard: no download");
    await page.context().close();
  }

  /** Two weeks in a few screens of a phone: each day unfolds, also by the link that leads into it. */
  async function planOnAPhone() {
    const phone = { width: 390, height: 844 };
    copyFileSync("demo/forest-fortnight.toml", join(folder, "fortnight.toml"));
    const page = await begin({ viewport: phone });
    await page.getByRole("button", { name: "fortnight.toml", exact: true }).click();
    await page.getByRole("button", { name: "Calendar of steps" }).click();
    await page.waitForURL(/plan\/steps/);
    const screens = await page.evaluate(() => document.documentElement.scrollHeight / innerHeight);
    check(screens <= MOST_SCREENS, `plan on a phone: ${screens.toFixed(1)} screens, ${MOST_SCREENS} at most`);
    const day = page.locator("details.day").first();
    check(await day.getAttribute("open") === null, "plan on a phone: a day is unfolded from the start");
    await page.locator(".glance a").first().click();
    check(await day.getAttribute("open") !== null, "plan on a phone: the link to a day does not unfold it");
    const caution = day.locator(".caution a").first();
    await caution.click();
    const said = page.locator(`[id='${(await caution.getAttribute("href")).slice(1)}']`);
    check(await said.isVisible(), "plan on a phone: the link to a caution does not unfold it");
    await page.context().close();
  }

  async function planLooks() {
    const page = await begin();
    await look("plan-open", "plan");
    await page.getByRole("button", { name: "Start a new plan" }).click();
    await look("plan-form", "plan");
    await look("plan-steps", "plan/steps");
    await look("plan-text", "plan/text");
    await page.getByLabel("Temperature", { exact: true }).fill("680");
    await page.getByLabel("Children").first().fill("0");
    await page.locator("[id='session.0.0.at']").fill("2026-12-17T09:30");
    await sent(page, () => page.getByRole("button", { name: "Check", exact: true }).click());
    await look("plan-faulty", "plan");
    // Too late for anything: what stands in the way is said.
    await page.locator("[id='room.temperature']").fill("68 F");
    await page.getByLabel("Children").first().fill("11");
    await page.locator("[id='session.0.0.at']").fill("2026-12-07T09:30");
    await sent(page, () => page.getByRole("button", { name: "Calendar of steps" }).click());
    await page.waitForURL(/plan\/steps/);
    await look("plan-impossible", "plan/steps");
    await page.context().close();
  }
}
