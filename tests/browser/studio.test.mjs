// From nothing to an answer, and from a plan to a line of the log: the studio's own records, written by people.
// Takes the served build; fills in forms.

import assert from "node:assert/strict";
import { after, before, test } from "node:test";

import { launch, url } from "./harness.mjs";
import { answered, goTo, kept, openPage } from "./steps.mjs";

let browser;
before(async () => {
  browser = await launch();
});
after(() => browser.close());

const form = (page) => page.locator("dialog[open]");
const keep = async (page) => {
  await form(page).getByRole("button", { name: "Keep", exact: true }).click();
  await form(page).waitFor({ state: "detached" });
};

test("from an empty studio to a first answer", async () => {
  const { context, page } = await openPage(browser, url());
  await page.getByRole("button", { name: "Start an empty studio" }).first().click();
  await page.getByText("An empty studio is open", { exact: false }).waitFor();
  await goTo(page, "studio");
  await page.getByRole("button", { name: "Add a glaze" }).click();
  await form(page).getByLabel("Name").fill("Harbour Lamp");
  await form(page).getByLabel("Usual slurry").fill("145 g in 100 ml");
  await form(page).getByText("SG 1.450", { exact: false }).waitFor();
  await form(page).getByLabel("How it flows, in your opinion").selectOption("fluid");
  await keep(page);
  await page.getByRole("button", { name: "Add a hand" }).click();
  await form(page).getByLabel("Name or pencil code").fill("B2");
  await keep(page);
  await page.locator("nav a[href='#piece']").click();
  await page.getByRole("button", { name: "New plan" }).click();
  await form(page).getByLabel("Name").fill("First tile");
  await form(page).getByRole("button", { name: "Make it" }).click();
  await answered(page);
  assert.match(await page.locator(".numbers").innerText(), /Harbour Lamp/);
  assert.match(await page.locator(".how").innerText(), /nothing has been learned/);
  await kept(page);
  await page.reload();
  await answered(page);
  assert.match(await page.locator(".numbers").innerText(), /Harbour Lamp/);
  assert.deepEqual(page.trouble, []);
  await context.close();
});

test("what is still used is not removed, and the form says why", async () => {
  const { context, page } = await openPage(browser, url());
  await goTo(page, "studio");
  const name = await page.locator(".glazes .line b").first().innerText();
  await page.locator(".glazes .line").first().click();
  await form(page).getByRole("button", { name: "Remove" }).click();
  await page.locator(".strip.grave").waitFor();
  assert.equal(await page.locator(".glazes .line b").first().innerText(), name);
  await page.locator(".glazes .line").first().click();
  await form(page).getByLabel("Usual slurry").fill("2500 g/L");
  await form(page).getByRole("button", { name: "Keep", exact: true }).click();
  await form(page).locator(".error").first().waitFor();
  assert.match(await form(page).innerText(), /between/);
  await page.keyboard.press("Escape");
  await form(page).waitFor({ state: "detached" });
  await context.close();
});

test("units can be inches, and back", async () => {
  const { context, page } = await openPage(browser, url());
  await goTo(page, "studio");
  await page.getByLabel("inches", { exact: true }).check();
  await goTo(page, "piece");
  await page.locator(".facts").filter({ hasText: /\d\sin/ }).waitFor();
  // A firing's schedule and a form's measures go through their forms unchanged: what stands in a field has its unit.
  await goTo(page, "log");
  await page.getByRole("button", { name: "New firing" }).click();
  await form(page).getByLabel("Name").fill("Week 14");
  await form(page).getByRole("button", { name: "Keep", exact: true }).click();
  await form(page).waitFor({ state: "detached" });
  const [copied, made] = await page.evaluate(() => window.glazefall.state.studio.firings.slice(-2).map((one) => one.schedule.segments));
  assert.deepEqual(made, copied);
  await goTo(page, "studio");
  const measures = () => page.evaluate(() => {
    const { shape, texture } = window.glazefall.state.studio.forms.find((one) => one.name === "Carved wall tile");
    return { shape, texture };
  });
  const before = await measures();
  await page.getByRole("button", { name: /^Carved wall tile/ }).click();
  await form(page).getByRole("button", { name: "Keep", exact: true }).click();
  await form(page).waitFor({ state: "detached" });
  assert.deepEqual(await measures(), before);
  for (let i = 0; i < 2; i++) await page.keyboard.press("Control+z");
  await goTo(page, "piece");
  await page.keyboard.press("Control+z");
  await page.locator(".facts").filter({ hasText: /\d\smm/ }).waitFor();
  assert.deepEqual(page.trouble, []);
  await context.close();
});
