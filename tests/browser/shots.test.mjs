// Pictures of every place, to be looked at: three widths, light, dark and print, into shots/ beside this file.
// Takes the served build; with GLAZEFALL_WRITE_PICTURE set it also writes the README's picture.

import { copyFile, mkdir } from "node:fs/promises";
import { fileURLToPath } from "node:url";
import { after, before, test } from "node:test";

import { launch, url } from "./harness.mjs";
import { goTo, openPage, PLACES, SIZES } from "./steps.mjs";

const folder = fileURLToPath(new URL("shots/", import.meta.url));
const readme = fileURLToPath(new URL("../../fixtures/readme/", import.meta.url));

let browser;
before(async () => {
  browser = await launch();
  await mkdir(folder, { recursive: true });
});
after(() => browser.close());

for (const width of Object.keys(SIZES)) {
  for (const colorScheme of ["light", "dark"]) {
    test(`pictures at ${width} px, ${colorScheme}`, async () => {
      const { context, page } = await openPage(browser, url(), { viewport: SIZES[width], colorScheme, deviceScaleFactor: width === "390" ? 2 : 1 });
      for (const place of PLACES) {
        await goTo(page, place);
        if (place === "piece") await page.locator(".chart[aria-busy=false]").waitFor();
        if (place === "lesson") await page.locator(".fronts svg").waitFor();
        if (place === "next") await page.locator(".tiles li").first().waitFor();
        if (place === "studio") await page.locator(".known-figure").first().waitFor();
        await page.screenshot({ path: `${folder}${place}-${width}-${colorScheme}.png`, fullPage: true });
      }
      await goTo(page, "piece");
      await page.evaluate(() => scrollTo(0, 0));
      const first = `${folder}first-${width}-${colorScheme}.png`;
      await page.screenshot({ path: first });
      if (width === "1280" && colorScheme === "light" && process.env.GLAZEFALL_WRITE_PICTURE) {
        await mkdir(readme, { recursive: true });
        await copyFile(first, `${readme}piece.png`);
      }
      await context.close();
    });
  }
}

// One kiln, from a plan to what it taught: a picture of each step, in order.
test("a kiln opened, from plan to learned", async () => {
  const { context, page } = await openPage(browser, url());
  let step = 0;
  const shoot = async (name) => {
    step += 1;
    const path = `${folder}kiln-${step}-${name}.png`;
    await page.screenshot({ path });
    if (process.env.GLAZEFALL_WRITE_PICTURE && ["read", "learned"].includes(name)) await copyFile(path, `${readme}kiln-${name}.png`);
  };
  await shoot("planned");
  await goTo(page, "log");
  await page.locator(".load .seen svg").nth(2).waitFor();
  await shoot("loaded");
  await page.emulateMedia({ media: "print" });
  await shoot("sheet");
  await page.emulateMedia({ media: "screen" });
  await page.getByRole("button", { name: /^Read / }).first().click();
  await page.locator("input[name=run-mm]").waitFor();
  await page.waitForFunction(() => document.activeElement?.name === "run-mm");
  await page.keyboard.type("3");
  await page.keyboard.press("Tab");
  await page.keyboard.press("2");
  await page.locator("#run-said").filter({ hasText: "3 mm" }).waitFor();
  await shoot("read");
  await page.keyboard.press("Enter");
  await page.locator(".news").filter({ hasText: /What it changed|changed little/ }).waitFor();
  await page.locator(".news").scrollIntoViewIfNeeded();
  await shoot("learned");
  await goTo(page, "studio");
  await page.locator(".known-figure").nth(1).waitFor();
  await page.locator(".knowing").evaluate((one) => one.scrollIntoView());
  await shoot("known");
  await context.close();
});

test("the printed plan", async () => {
  const { context, page } = await openPage(browser, url());
  await page.emulateMedia({ media: "print" });
  await page.setViewportSize({ width: 794, height: 1123 });
  await page.screenshot({ path: `${folder}print.png`, fullPage: true });
  await page.pdf({ path: `${folder}print.pdf`, format: "A4" });
  await context.close();
});

test("forced colours", async () => {
  const { context, page } = await openPage(browser, url(), { forcedColors: "active" });
  await page.screenshot({ path: `${folder}forced.png`, fullPage: true });
  await context.close();
});
