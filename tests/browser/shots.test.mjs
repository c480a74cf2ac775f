// Pictures of every place, to be looked at: three widths, light, dark and print, into shots/ beside this file.
// Takes the served build; with GLAZEFALL_WRITE_PICTURE set it also writes the README's first picture.

import { mkdir } from "node:fs/promises";
import { fileURLToPath } from "node:url";
import { after, before, test } from "node:test";

import { launch, url } from "./harness.mjs";
import { forReadme } from "./picture.mjs";
import { goTo, openPage, PLACES, SIZES } from "./steps.mjs";

const folder = fileURLToPath(new URL("shots/", import.meta.url));

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
      await page.screenshot({ path: `${folder}first-${width}-${colorScheme}.png` });
      if (width === "1280" && colorScheme === "light" && process.env.GLAZEFALL_WRITE_PICTURE) await forReadme(page, "piece");
      await context.close();
    });
  }
}

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
