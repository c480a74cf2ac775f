// The main job on a real page: a coat more, and numbers, drawing and what is kept all follow.
// Takes the served build; presses what people press. Times are printed, never asserted.

import assert from "node:assert/strict";
import { after, before, test } from "node:test";

import { launch, url, watched } from "./harness.mjs";
import { answered, countOf, kept, median, minus, numbers, openPage, plus, pot } from "./steps.mjs";

let browser;
before(async () => {
  browser = await launch();
});
after(() => browser.close());

test("a coat more changes the numbers, the drawing and the count; undo brings it all back", async () => {
  const { context, page } = await openPage(browser, url());
  const [count, table, drawing] = [await countOf(page), await numbers(page), await pot(page)];
  await plus(page).click();
  await answered(page);
  assert.equal(await countOf(page), count + 1);
  assert.notEqual(await numbers(page), table);
  assert.notEqual(await pot(page), drawing);
  await page.keyboard.press("Control+z");
  await answered(page);
  assert.equal(await countOf(page), count);
  assert.equal(await numbers(page), table, "the same plan gives the same numbers");
  await page.getByRole("button", { name: /^Redo/ }).click();
  await answered(page);
  assert.equal(await countOf(page), count + 1);
  assert.deepEqual(page.trouble, []);
  await context.close();
});

test("a change is still there after a reload", async () => {
  const { context, page } = await openPage(browser, url());
  const count = await countOf(page);
  await plus(page).click();
  await plus(page).click();
  await minus(page).click();
  await kept(page);
  await page.reload();
  await answered(page);
  assert.equal(await countOf(page), count + 1);
  await context.close();
});

test("layers are added, moved, changed and removed", async () => {
  const { context, page } = await openPage(browser, url());
  const layers = () => page.locator(".layers > .layer").count();
  const before = await layers();
  await page.getByRole("button", { name: "Add a layer on top" }).click();
  await answered(page);
  assert.equal(await layers(), before + 1);
  const glaze = page.locator(".layers > .layer").first().locator("select");
  const other = await glaze.locator("option:not(:checked)").last().getAttribute("value");
  await glaze.selectOption(other);
  await answered(page);
  assert.equal(await glaze.inputValue(), other);
  await page.locator(".layers .detail").first().click();
  await page.getByRole("button", { name: "Move down" }).click();
  await answered(page);
  assert.equal(await page.locator(".layers > .layer").nth(1).locator("select").first().inputValue(), other);
  await page.getByRole("button", { name: "Remove", exact: true }).click();
  await answered(page);
  assert.equal(await layers(), before);
  assert.deepEqual(page.trouble, []);
  await context.close();
});

test("a slurry is understood as it is typed, and said back", async () => {
  const { context, page } = await openPage(browser, url());
  await page.locator(".layers .detail").first().click();
  const field = page.getByLabel("Slurry that day");
  await field.fill("1,52");
  await page.getByText("SG 1.52", { exact: true }).waitFor();
  await field.fill("100 Tw");
  await page.getByText("100 °Tw: SG 1.500").waitFor();
  await field.fill("lots");
  await page.getByText("is not a number", { exact: false }).waitFor();
  await field.fill("1480 g/L");
  await field.press("Tab");
  await page.locator(".layers .detail").first().filter({ hasText: "SG 1.48" }).waitFor();
  assert.deepEqual(page.trouble, []);
  await context.close();
});

test("the firing can be gone through from raw to fired", async () => {
  const { context, page } = await openPage(browser, url());
  const fired = await pot(page);
  await page.getByRole("button", { name: "Before", exact: true }).click();
  await page.waitForFunction((was) => document.querySelector(".hero .pot")?.innerHTML !== was, fired);
  const raw = await pot(page);
  const slider = page.getByRole("slider", { name: "Moment of the firing" });
  await slider.focus();
  for (let i = 0; i < 8; i++) await page.keyboard.press("ArrowRight");
  assert.match(await slider.getAttribute("aria-valuetext"), /°C/);
  await page.waitForFunction((was) => document.querySelector(".hero .pot")?.innerHTML !== was, raw);
  await page.getByRole("button", { name: "After", exact: true }).click();
  await page.waitForFunction((was) => document.querySelector(".hero .pot")?.innerHTML === was, fired);
  await context.close();
});

test("a cell of the coat chart can be taken", async () => {
  const { context, page } = await openPage(browser, url());
  await page.locator(".chart[aria-busy=false]").waitFor();
  const cell = page.locator(".chart .cell[aria-pressed=false]").first();
  const name = await cell.textContent();
  const over = Number(/(\d+) over/.exec(name)[1]);
  await cell.click();
  await answered(page);
  assert.equal(await countOf(page), over);
  await context.close();
});

test("times, printed", async (t) => {
  const { context, page } = await openPage(browser, url());
  await page.locator(".chart[aria-busy=false]").waitFor();
  await page.evaluate(() => {
    window.glazefall.timings.quick_ms.length = 0;
    window.glazefall.timings.full_ms.length = 0;
  });
  for (let i = 0; i < 6; i++) {
    await (i % 2 === 0 ? plus(page) : minus(page)).click();
    await answered(page);
    await page.locator(".chart[aria-busy=false]").waitFor();
  }
  const { quick_ms, full_ms } = await page.evaluate(() => ({ ...window.glazefall.timings }));
  t.diagnostic(`a coat added: drawing and numbers ${median(quick_ms).toFixed(0)} ms (reach 50), 512 draws ${median(full_ms).toFixed(0)} ms (reach 300), chart ${await page.evaluate(() => window.glazefall.timings.chart_ms.at(-1)?.toFixed(0))} ms (reach 1000)`);
  await context.close();

  const cold = await browser.newContext({ viewport: { width: 1280, height: 800 } });
  const slow = await watched(cold);
  const session = await cold.newCDPSession(slow);
  await session.send("Emulation.setCPUThrottlingRate", { rate: 4 });
  await slow.goto(url());
  await answered(slow);
  t.diagnostic(`cold start to first numbers, page's CPU slowed 4 × (the worker's is not): ${await slow.evaluate(() => window.glazefall.timings.first_ms.toFixed(0))} ms (reach 1500)`);
  await cold.close();
});
