// What the melt does, on the page: the lens on every spot of every plan, and the README's gallery of it.
// Takes the served build; with GLAZEFALL_WRITE_PICTURE set it writes fixtures/readme/melt-*.webp.

import assert from "node:assert/strict";
import { after, before, test } from "node:test";

import { launch, url } from "./harness.mjs";
import { forReadme, LIMIT_BYTES } from "./picture.mjs";
import { answered, countOf, minus, openPage, plus } from "./steps.mjs";

let browser;
before(async () => {
  browser = await launch();
});
after(() => browser.close());

const open = async (page, plan) => {
  await page.locator(".piece-head select").first().selectOption({ label: plan });
  await page.waitForFunction((name) => document.querySelector(".picture.pot") && window.glazefall.state.potOf === window.glazefall.state.studio.entries.find((one) => one.name === name)?.id, plan);
  await answered(page);
};

const coats = async (page, wanted) => {
  for (let now = await countOf(page); now !== wanted; now = await countOf(page)) {
    await (now < wanted ? plus(page) : minus(page)).click();
    await page.waitForFunction((before) => Number(document.querySelector(".layers .many b").innerText) !== before, now);
  }
  await answered(page);
};

/** Puts the lens on a spot and waits for its window: in the drawing, or a picture of its own. */
const look = async (page, spot) => {
  const [from, before] = await page.evaluate(() => [window.glazefall.state.lens, document.querySelector(".hero .pot").innerHTML]);
  await page.locator(`.through input[name=lens][value=${spot}]`).check({ force: true });
  await page.waitForFunction(
    (was) => (was === null || document.querySelector(".hero .pot").innerHTML !== was) && document.querySelectorAll(".hero .pot circle.gf-lens, .hero .lens circle.gf-lens").length === 2,
    from === spot ? null : before,
  );
};

test("the lens shows every spot of every plan", async () => {
  const { context, page } = await openPage(browser, url());
  const plans = await page.evaluate(() => window.glazefall.state.studio.entries.filter((one) => one.name && !one.outcome).map((one) => one.name));
  assert.ok(plans.length >= 3);
  for (const plan of plans) {
    await open(page, plan);
    const spots = await page.locator(".through input[name=lens]").evaluateAll((all) => all.map((one) => one.value).filter((spot) => spot !== "" && spot !== "elsewhere"));
    assert.ok(spots.length >= 3, plan);
    for (const spot of spots) await look(page, spot);
  }
  assert.deepEqual(page.trouble, []);
  await context.close();
});

test("a slid layer, a texture with a coat more, a piece that reaches the shelf", async () => {
  const { context, page } = await openPage(browser, url(), { deviceScaleFactor: 2 });
  const shoot = async (name, part) => {
    if (process.env.GLAZEFALL_WRITE_PICTURE) assert.ok((await forReadme(page, `melt-${name}`, page.locator(part))) <= LIMIT_BYTES);
  };
  const relief = () => page.evaluate(() => window.glazefall.state.answer.outcome.relief_kept.p50);
  await coats(page, 5);
  await look(page, "overlap");
  await shoot("slid", ".hero .drawing");

  await open(page, "Carved wall tile in turquoise");
  await coats(page, 2);
  await look(page, "texture");
  await shoot("two-coats", ".hero .picture.lens svg");
  const two = await relief();
  await coats(page, 3);
  await shoot("three-coats", ".hero .picture.lens svg");
  assert.ok((await relief()) < two, "a coat more leaves less relief");

  await open(page, "Bowl dipped at the rim");
  await look(page, "foot");
  await shoot("shelf", ".hero .drawing");
  assert.ok((await page.evaluate(() => window.glazefall.state.answer.outcome.p_on_shelf)) > 0.3);
  assert.deepEqual(page.trouble, []);
  await context.close();
});
