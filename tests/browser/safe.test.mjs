// Nothing lost: a trapped core, a refused store, two tabs, a damaged record, the file out and in.
// Takes the served build; breaks things on purpose.

import assert from "node:assert/strict";
import { readFile } from "node:fs/promises";
import { after, before, test } from "node:test";

import { launch, oneFileUrl, url, watched } from "./harness.mjs";
import { answered, countOf, goTo, kept, openPage, plus, SIZES } from "./steps.mjs";

let browser;
before(async () => {
  browser = await launch();
});
after(() => browser.close());

test("a trap in the core: a new worker, the same studio, said once", async () => {
  const { context, page } = await openPage(browser, url());
  const count = await countOf(page);
  await plus(page).click();
  await answered(page);
  await page.evaluate(() => window.glazefall.trap());
  await page.getByText("was started again", { exact: false }).waitFor();
  await answered(page);
  assert.equal(await countOf(page), count + 1);
  assert.equal(await page.getByText("was started again", { exact: false }).count(), 1);
  await plus(page).click();
  await answered(page);
  assert.equal(await countOf(page), count + 2);
  await page.keyboard.press("Control+z");
  await answered(page);
  assert.equal(await countOf(page), count + 1);
  await context.close();
});

test("storage refused: the page works, says that nothing is kept, and offers the file", async () => {
  const context = await browser.newContext({ viewport: SIZES[1280] });
  await context.addInitScript(() => {
    IDBFactory.prototype.open = () => {
      throw new DOMException("refused", "SecurityError");
    };
  });
  const page = await watched(context);
  await page.goto(url());
  await answered(page);
  await page.getByText("Changes are not being kept", { exact: false }).waitFor();
  await plus(page).click();
  await answered(page);
  const [download] = await Promise.all([page.waitForEvent("download"), page.getByRole("button", { name: /file now/ }).click()]);
  const saved = JSON.parse(await readFile(await download.path(), "utf8"));
  assert.equal(saved.format, "glazefall-studio");
  await context.close();
});

test("storage full: the page says so", async () => {
  const { context, page } = await openPage(browser, url());
  await page.evaluate(() => {
    IDBObjectStore.prototype.put = function () {
      throw new DOMException("full", "QuotaExceededError");
    };
  });
  await plus(page).click();
  await page.getByText("disk space", { exact: false }).waitFor();
  await context.close();
});

test("two tabs: one writes, the other follows and says so, and can take over", async () => {
  const { context, page: first } = await openPage(browser, url());
  await kept(first);
  const second = await watched(context);
  await second.goto(url());
  await second.getByText("Another tab is writing", { exact: false }).waitFor();
  await answered(second);
  const count = await countOf(second);
  assert.ok(await plus(second).isDisabled());
  await plus(first).click();
  await kept(first);
  await second.waitForFunction((n) => Number(document.querySelector(".layers .many b")?.textContent) === n, count + 1);
  await second.getByRole("button", { name: "Write here instead" }).click();
  await first.getByText("Another tab is writing", { exact: false }).waitFor();
  await second.waitForFunction(() => window.glazefall.state.role === "writer");
  await answered(second);
  await plus(second).click();
  await kept(second);
  await first.waitForFunction((n) => Number(document.querySelector(".layers .many b")?.textContent) === n, count + 2);
  await context.close();
});

test("a damaged record is left out and said; all the rest comes back", async () => {
  const { context, page } = await openPage(browser, url());
  await kept(page);
  const before = await page.evaluate(() => window.glazefall.state.studio.entries.length);
  await page.evaluate(async () => {
    const db = await new Promise((done, fail) => {
      const request = indexedDB.open("glazefall");
      request.onsuccess = () => done(request.result);
      request.onerror = () => fail(request.error);
    });
    const tx = db.transaction("records", "readwrite");
    const store = tx.objectStore("records");
    const keys = await new Promise((done) => {
      const request = store.getAllKeys();
      request.onsuccess = () => done(request.result);
    });
    const key = keys.filter((one) => one.startsWith("entries/")).at(-1);
    const row = await new Promise((done) => {
      const request = store.get(key);
      request.onsuccess = () => done(request.result);
    });
    store.put({ ...row, json: row.json.slice(0, 40) });
    await new Promise((done) => {
      tx.oncomplete = done;
    });
    db.close();
  });
  await page.reload();
  await answered(page);
  await page.getByText("could not be read", { exact: false }).waitFor();
  assert.equal(await page.evaluate(() => window.glazefall.state.studio.entries.length), before - 1);
  await context.close();
});

test("the file goes out and comes in again; a file that is none is refused with its place", async () => {
  const { context, page } = await openPage(browser, url());
  await plus(page).click();
  await answered(page);
  const count = await countOf(page);
  await goTo(page, "studio");
  const [download] = await Promise.all([page.waitForEvent("download"), page.getByRole("button", { name: "Save the studio’s file" }).click()]);
  const path = await download.path();
  const text = await readFile(path, "utf8");
  await page.getByRole("button", { name: "Start an empty studio" }).first().click();
  await page.getByText("An empty studio is open", { exact: false }).waitFor();
  await page.setInputFiles("input[type=file]", { name: "studio.json", mimeType: "application/json", buffer: Buffer.from(text) });
  await page.getByText("Opened studio.json", { exact: false }).waitFor();
  await goTo(page, "piece");
  assert.equal(await countOf(page), count);
  await goTo(page, "studio");
  await page.setInputFiles("input[type=file]", { name: "not.json", mimeType: "application/json", buffer: Buffer.from(text.replace('"version":1', '"version":999').replace('"version": 1', '"version": 999')) });
  await page.locator(".strip.grave").waitFor();
  assert.match(await page.locator(".strip.grave").innerText(), /newer/i);
  await context.close();
});

test("the one file from a file: address: it answers, changes, and keeps", async () => {
  const { context, page } = await openPage(browser, oneFileUrl());
  const count = await countOf(page);
  await plus(page).click();
  await answered(page);
  assert.equal(await countOf(page), count + 1);
  await kept(page);
  await page.reload();
  await answered(page);
  assert.equal(await countOf(page), count + 1);
  assert.deepEqual(page.trouble, []);
  await context.close();
});
