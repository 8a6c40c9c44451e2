// The journeys of the page of a day, for page.mjs: a plan is followed, told and taken back, with
// script and without, and looked at.
import { copyFileSync, existsSync, readFileSync } from "node:fs";
import { join } from "node:path";

/** The journeys; `tools` are what page.mjs checks with. */
export function todayJourneys({ folder, open, check, look, sent }) {
  const kept = () => readFileSync(join(folder, "week.kept.toml"), "utf8");
  return { followed, followedScriptless, mended, looks };

  /** A plan with something to do today, its page of today open. */
  async function begin(options = {}) {
    if (!existsSync(join(folder, "week.toml"))) copyFileSync("tests/data/ice-tomorrow.toml", join(folder, "week.toml"));
    const page = await open("plan", options);
    const away = page.getByRole("button", { name: /^Put it away/ });
    if (await away.count()) await away.first().click();
    await page.getByRole("button", { name: "week.toml", exact: true }).click();
    await page.getByRole("navigation").getByRole("link", { name: "Today" }).click();
    await page.getByRole("heading", { name: "Today", exact: true }).waitFor();
    return page;
  }

  async function followed() {
    const page = await begin();
    check(await page.locator(".verdict").count() === 1, "today: no line that says yes or no");
    check(await page.getByRole("button", { name: /^Done/ }).count() === 0, "today: a plan that is not followed can be told");
    await page.getByRole("button", { name: "Follow this plan" }).click();
    await page.getByRole("button", { name: /^Done/ }).first().waitFor();
    check(/^# The plan that is followed/.test(kept()), "today: nothing is kept");
    await tellAndTakeBack(page, "today");
    const first = page.locator("li.do").first();
    await first.locator("summary").click();
    await first.getByLabel(/^It takes until/).fill("11:30 pm");
    await first.getByRole("button", { name: "It takes until then" }).click();
    check(/it takes until/.test(await page.getByRole("status").filter({ hasText: "Noted:" }).first().textContent()), "today: a later end is not confirmed");
    await page.getByRole("button", { name: /^Take back/ }).click();
    await page.context().close();
  }

  async function followedScriptless() {
    await tellAndTakeBack(await begin({ javaScriptEnabled: false }), "today without script");
  }

  async function tellAndTakeBack(page, where) {
    const step = await page.locator("li.do p[dir]").first().textContent();
    await page.getByRole("button", { name: /^Done/ }).first().click();
    const said = await page.getByRole("status").filter({ hasText: "Noted:" }).first().textContent();
    check(/today\?.*said=1/.test(page.url()), `${where}: a tap is answered at ${page.url()}`);
    check(said.includes("Noted:") && said.includes(step.trim()), `${where}: “${step}” done is answered by “${said.trim()}”`);
    check(/^\[\[happened\]\]/m.test(kept()), `${where}: what happened is not in the file`);
    await page.getByRole("button", { name: /^Take back/ }).click();
    check(/Taken back/.test(await page.getByRole("status").first().textContent()), `${where}: what was taken back is not said`);
    check(!/^\[\[happened\]\]/m.test(kept()), `${where}: what was taken back is still in the file`);
  }

  /** A plan that cannot be is mended by its button, and the change is taken back. */
  async function mended() {
    copyFileSync("tests/infeasible/too-thick-to-dry.toml", join(folder, "thick.toml"));
    const page = await open("plan");
    const away = page.getByRole("button", { name: /^Put it away/ });
    if (await away.count()) await away.first().click();
    await page.getByRole("button", { name: "thick.toml", exact: true }).click();
    await sent(page, () => page.getByRole("button", { name: "Calendar of steps" }).click());
    await page.locator(".verdict.no").waitFor();
    await page.locator("button[name=way]").first().click();
    await page.locator(".verdict.yes").waitFor();
    await page.getByRole("link", { name: /^Change/ }).click();
    check(await page.locator("[id='ornament.0.thickness']").inputValue() !== "1", "mended: the plan is not changed");
    await page.getByRole("button", { name: "Undo the last change" }).click();
    check(await page.locator("[id='ornament.0.thickness']").inputValue() === "1", "mended: the change is not taken back");
    await page.context().close();
  }

  async function looks() {
    const page = await begin();
    await look("today", "today");
    await page.context().close();
  }
}
