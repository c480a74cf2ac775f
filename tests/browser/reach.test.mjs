// For everyone: keyboard alone, screen readers, narrow screens, dark, forced colours, and nothing that a studio file could run.
// Takes the served build; reports what axe finds and what the browser refused.

import assert from "node:assert/strict";
import { after, before, test } from "node:test";

import { axeSource, launch, serveFolder, siteFolder, url } from "./harness.mjs";
import { answered, countOf, goTo, kept, openPage, plus, PLACES, SIZES } from "./steps.mjs";

let browser;
before(async () => {
  browser = await launch();
});
after(() => browser.close());

async function axe(page) {
  await page.evaluate(await axeSource());
  const { violations } = await page.evaluate(() => window.axe.run(document, { runOnly: ["wcag2a", "wcag2aa", "wcag2aaa", "wcag21a", "wcag21aa", "wcag22aa", "best-practice"], rules: { "color-contrast-enhanced": { enabled: true } } }));
  return violations.map((one) => `${one.id}: ${one.help}\n  ${one.nodes.slice(0, 4).map((node) => `${node.target.join(" ")} ${node.failureSummary?.split("\n")[1] ?? ""}`).join("\n  ")}`);
}

for (const colorScheme of ["light", "dark"]) {
  test(`axe finds nothing, ${colorScheme}`, async () => {
    const { context, page } = await openPage(browser, url(), { colorScheme });
    for (const place of PLACES) {
      await goTo(page, place);
      if (place === "piece") {
        await page.locator(".chart[aria-busy=false]").waitFor();
        await page.locator(".layers .detail").first().click();
      }
      if (place === "lesson") await page.locator(".fronts svg").waitFor();
      if (place === "next") await page.locator(".tiles li").first().waitFor();
      if (place === "studio") await page.locator(".known-figure").first().waitFor();
      assert.deepEqual(await axe(page), [], place);
      if (place === "log") {
        await page.getByRole("button", { name: /^Read / }).first().click();
        await page.locator(".reader").waitFor();
        assert.deepEqual(await axe(page), [], "reading");
        await page.getByRole("link", { name: "Weigh-ins" }).click();
        await page.locator(".weigh").waitFor();
        assert.deepEqual(await axe(page), [], "weigh-ins");
      }
    }
    await page.locator(".glazes .line").first().click();
    await page.locator("dialog[open]").waitFor();
    assert.deepEqual(await axe(page), [], "a form");
    await context.close();
  });
}

test("by keyboard alone: a coat more, a look at the firing, another place, undo", async () => {
  const { context, page } = await openPage(browser, url());
  const count = await countOf(page);
  // Tab from the top until a control's name says what it is, as a person would.
  const tabTo = async (wanted) => {
    for (let i = 0; i < 80; i++) {
      await page.keyboard.press("Tab");
      const name = await page.evaluate(() => document.activeElement?.getAttribute("aria-label") ?? document.activeElement?.textContent ?? "");
      const seen = await page.evaluate(() => {
        const box = document.activeElement?.getBoundingClientRect();
        return box !== undefined && box.width > 0 && document.activeElement.matches(":focus-visible");
      });
      if (wanted.test(name)) {
        assert.ok(seen, `focus is seen on ${name}`);
        return;
      }
    }
    assert.fail(`no control called ${wanted} by tabbing`);
  };
  await page.keyboard.press("Tab");
  assert.match(await page.evaluate(() => document.activeElement.textContent), /To the content/);
  await page.keyboard.press("Enter");
  await tabTo(/^One more/);
  await page.keyboard.press("Enter");
  await answered(page);
  assert.equal(await countOf(page), count + 1);
  assert.match(await page.evaluate(() => document.activeElement.getAttribute("aria-label")), /^One more/, "focus stays where it was");
  await page.keyboard.press("Space");
  await answered(page);
  assert.equal(await countOf(page), count + 2);
  await page.keyboard.press("Control+z");
  await answered(page);
  assert.equal(await countOf(page), count + 1);
  assert.match(await page.locator("[aria-live=polite]").innerText(), /\w/);
  await page.evaluate(() => document.activeElement.blur());
  await context.close();
});

test("390 px: nothing sticks out sideways, in any place", async () => {
  const { context, page } = await openPage(browser, url(), { viewport: SIZES[390], hasTouch: true });
  const out = () => page.evaluate(() => document.documentElement.scrollWidth - document.documentElement.clientWidth);
  for (const place of PLACES) {
    await goTo(page, place);
    if (place === "piece") await page.locator(".layers .detail").first().click();
    assert.equal(await out(), 0, place);
  }
  await goTo(page, "piece");
  const small = await page.evaluate(() => [...document.querySelectorAll("main button, main select, main input, nav a")].filter((one) => {
    const { width, height } = one.getBoundingClientRect();
    return width > 1 && (height < 24 || width < 24);
  }).map((one) => one.outerHTML.slice(0, 120)));
  assert.deepEqual(small, [], "targets are at least 24 px");
  await context.close();
});

test("a strict Content-Security-Policy stands, and a studio file runs nothing", async () => {
  const { context, page } = await openPage(browser, url());
  const policy = await page.locator("meta[http-equiv=Content-Security-Policy]").getAttribute("content");
  for (const part of ["default-src 'none'", "base-uri 'none'", "form-action 'none'"]) assert.ok(policy.includes(part), part);
  assert.ok(!policy.includes("'unsafe-inline'") && !policy.includes("'unsafe-eval'"), policy);
  const ran = await page.evaluate(async () => {
    const script = document.createElement("script");
    script.textContent = "window.ran = true";
    document.body.append(script);
    await new Promise((done) => setTimeout(done, 50));
    return window.ran === true;
  });
  assert.equal(ran, false, "an inline script does not run");

  await goTo(page, "studio");
  await page.locator(".glazes .line").first().click();
  const markup = `<img src=x onerror="window.ran=1"><b>Bold</b>`;
  await page.locator("dialog[open]").getByLabel("Name").fill(markup);
  await page.getByRole("button", { name: "Keep", exact: true }).click();
  await page.locator("dialog[open]").waitFor({ state: "detached" });
  await goTo(page, "piece");
  assert.equal(await page.evaluate(() => document.querySelectorAll("main img").length + (window.ran ? 1 : 0)), 0);
  await goTo(page, "log");
  assert.equal(await page.evaluate(() => document.querySelectorAll("main img").length + (window.ran ? 1 : 0)), 0);
  await context.close();
});

test("nothing is asked of the network after loading", async (t) => {
  const server = await serveFolder(siteFolder(), t);
  const { context, page } = await openPage(browser, server.url);
  await page.evaluate(() => navigator.serviceWorker.ready);
  // From its second visit on the page is served from what was put by.
  await page.reload();
  await answered(page);
  assert.ok(await page.evaluate(() => navigator.serviceWorker.controller !== null));
  await server.close();
  const failed = [];
  // Chromium asks for a page's icon again on its own account.
  page.on("requestfailed", (request) => {
    if (!request.url().includes("icon")) failed.push(request.url());
  });
  await plus(page).click();
  await answered(page);
  for (const place of PLACES) await goTo(page, place);
  await page.evaluate(() => window.glazefall.trap());
  await page.getByText("was started again", { exact: false }).waitFor();
  await goTo(page, "piece");
  await kept(page);
  assert.deepEqual(failed, []);
  await context.close();
});
