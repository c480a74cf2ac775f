// Faults on purpose, and what they cost: tabs killed, the worker lost without a network, the store damaged or full, the clock set
// back, a studio of 20,000 entries, a file that wants to run something.
// Takes the served build; prints the figures.

import assert from "node:assert/strict";
import { readFile } from "node:fs/promises";
import { after, before, test } from "node:test";

import { launch, serveFolder, siteFolder, url, watched } from "./harness.mjs";
import { killTabs } from "./kills.mjs";
import { largeStudio, openLarge } from "./large.mjs";
import { answered, countOf, goTo, kept, openPage, plus, SIZES } from "./steps.mjs";

let browser;
before(async () => {
  browser = await launch();
});
after(() => browser.close());

const demo = async () => JSON.parse(await readFile(new URL("../../fixtures/demo/studio.json", import.meta.url), "utf8"));

test("a tab killed at random moments while entries are saved: none that was called kept is lost, the document is always whole", async (t) => {
  const { saved, lost, invalid, trouble } = await killTabs(browser, url(), 8, 20261125);
  t.diagnostic(`8 tabs killed, ${saved} entries called kept, ${lost} lost, ${invalid} documents not valid`);
  assert.deepEqual(trouble, []);
  assert.ok(saved > 8, `${saved} saved`);
  assert.deepEqual([lost, invalid], [0, 0]);
});

test("the worker is lost on the first visit, with no server any more: another starts with the same studio", async (t) => {
  const server = await serveFolder(siteFolder(), t);
  const { context, page } = await openPage(browser, server.url);
  await page.waitForFunction(() => navigator.serviceWorker.controller !== null);
  const count = await countOf(page);
  await plus(page).click();
  await answered(page);
  await server.close();
  await page.evaluate(() => window.glazefall.trap());
  await page.getByText("was started again", { exact: false }).waitFor();
  await plus(page).click();
  await answered(page);
  assert.equal(await countOf(page), count + 2);
  await context.close();
});

test("a change is asked for while the worker is lost: it is said, nothing that was kept is lost", async () => {
  const { context, page } = await openPage(browser, url());
  await plus(page).click();
  await kept(page);
  const count = await countOf(page);
  await page.evaluate(() => {
    window.glazefall.trap();
    return window.glazefall.edit({ kind: "name", name: "Lost" });
  });
  await page.getByText("was started again", { exact: false }).waitFor();
  await answered(page);
  assert.equal(await countOf(page), count);
  await page.reload();
  await answered(page);
  assert.equal(await countOf(page), count);
  await context.close();
});

test("the head of the store and some records are damaged: the rest is read, and all of it can be saved as it was", async (t) => {
  const { context, page } = await openPage(browser, url());
  await kept(page);
  const before = await page.evaluate(() => window.glazefall.state.studio.entries.length);
  await page.evaluate(async () => {
    const wait = (request) => new Promise((done, fail) => {
      request.onsuccess = () => done(request.result);
      request.onerror = () => fail(request.error);
    });
    const db = await wait(indexedDB.open("glazefall"));
    const tx = db.transaction(["records", "head"], "readwrite");
    const records = tx.objectStore("records");
    await wait(tx.objectStore("head").put('{"format":"glazefall-studio","versi', "studio"));
    for (const key of (await wait(records.getAllKeys())).filter((one) => one.startsWith("entries/")).slice(0, 3)) {
      await wait(records.put({ ...(await wait(records.get(key))), json: "\u0000\u0001" }));
    }
    await new Promise((done) => {
      tx.oncomplete = done;
      tx.commit();
    });
    db.close();
  });
  await page.reload();
  await answered(page);
  await page.getByText("could not be read", { exact: false }).waitFor();
  const now = await page.evaluate(() => window.glazefall.state.studio.entries.length);
  assert.equal(now, before - 3);
  const [download] = await Promise.all([page.waitForEvent("download"), page.getByRole("button", { name: "Save all that was kept, as it is" }).click()]);
  const raw = JSON.parse(await readFile(await download.path(), "utf8"));
  assert.match(raw.head, /versi$/);
  assert.equal(raw.records.filter(([, , json]) => json === "\u0000\u0001").length, 3);
  t.diagnostic(`head and 3 of ${before} entries damaged: ${now} read, the raw store saved`);
  await context.close();
});

test("an edit of which a part cannot even be asked for leaves none of itself in the store", async () => {
  const { context, page } = await openPage(browser, url());
  await page.evaluate(() => window.glazefall.edit({ kind: "name", name: "Kept before" }));
  await kept(page);
  await page.evaluate(() => {
    const { put } = IDBObjectStore.prototype;
    let asked = 0;
    IDBObjectStore.prototype.put = function (...row) {
      if (this.name === "records") asked += 1;
      if (asked === 2) throw new DOMException("full", "QuotaExceededError");
      return put.apply(this, row);
    };
    const edits = window.glazefall.state.studio.entries.slice(0, 3).map((entry) => ({ kind: "put", list: "entries", record: { ...entry, note: "half of it" } }));
    return window.glazefall.edit({ kind: "many", edits });
  });
  await page.getByText("Changes are not being kept", { exact: false }).waitFor();
  await page.reload();
  await page.waitForFunction(() => window.glazefall?.state.studio);
  assert.deepEqual(await page.evaluate(() => {
    const { studio } = window.glazefall.state;
    return [studio.name, studio.entries.filter((entry) => entry.note === "half of it").length];
  }), ["Kept before", 0]);
  await context.close();
});

test("the disk fills while a kiln is read: the line is said not to be kept, the file offered holds it, and with room again all is kept", async () => {
  const { context, page } = await openPage(browser, url());
  await page.evaluate(() => {
    window.put = IDBObjectStore.prototype.put;
    IDBObjectStore.prototype.put = function () {
      throw new DOMException("full", "QuotaExceededError");
    };
  });
  await page.evaluate(() => {
    location.hash = "log";
  });
  await page.getByRole("button", { name: /^Read / }).first().click();
  const code = await page.locator(".reader .code").innerText();
  await page.locator("input[name=run-mm]").fill("7");
  await page.locator("input[name=run-mm]").press("Enter");
  await page.getByText("Changes are not being kept", { exact: false }).waitFor();
  const [download] = await Promise.all([page.waitForEvent("download"), page.getByRole("button", { name: /file now/ }).click()]);
  const file = JSON.parse(await readFile(await download.path(), "utf8"));
  assert.equal(file.entries.find((entry) => entry.code === code).outcome.run.run_mm, 7);
  await page.evaluate(() => {
    IDBObjectStore.prototype.put = window.put;
    return window.glazefall.edit({ kind: "name", name: "Room again" });
  });
  await kept(page);
  await page.reload();
  await page.waitForFunction(() => window.glazefall?.state.studio);
  assert.deepEqual(await page.evaluate((one) => {
    const { studio } = window.glazefall.state;
    return [studio.name, studio.entries.find((entry) => entry.code === one).outcome.run.run_mm];
  }, code), ["Room again", 7]);
  await context.close();
});

test("the clock is set back by years: entries stay in order, and all are there after a reload", async () => {
  const context = await browser.newContext({ viewport: SIZES[1280] });
  await context.addInitScript(() => {
    const now = Date.now.bind(Date);
    Date.now = () => now() - (localStorage.getItem("back") ? 9e11 : 0);
  });
  const page = await watched(context);
  await page.goto(url());
  await answered(page);
  const put = (id) => page.evaluate(async (name) => {
    const entry = window.glazefall.state.studio.entries.find((one) => one.outcome);
    return window.glazefall.edit({ kind: "put", list: "entries", record: { ...entry, id: name, code: name.toUpperCase(), changed_ms: Date.now() } });
  }, id);
  assert.equal(await put("before"), null);
  await page.evaluate(() => localStorage.setItem("back", "1"));
  assert.equal(await put("after"), null);
  await plus(page).click();
  await kept(page);
  await page.reload();
  await answered(page);
  assert.deepEqual(await page.evaluate(() => window.glazefall.state.studio.entries.slice(-2).map((one) => one.id)), ["before", "after"]);
  assert.deepEqual(page.trouble, []);
  await context.close();
});

test("a studio of 20,000 entries opens, is kept, and comes back; times printed", async (t) => {
  const { context, page } = await openPage(browser, url());
  const file = await largeStudio();
  const { opened, again } = await openLarge(page, file);
  await goTo(page, "log");
  await page.locator(".load .line-piece").first().waitFor();
  const many = await page.evaluate(async () => {
    const start = performance.now();
    const edits = window.glazefall.state.studio.entries.slice(0, 2000).map((entry) => ({ kind: "put", list: "entries", record: { ...entry, note: "all again" } }));
    const refused = await window.glazefall.edit({ kind: "many", edits });
    return { refused, ms: performance.now() - start, notes: window.glazefall.state.studio.entries.filter((entry) => entry.note === "all again").length };
  });
  assert.deepEqual([many.refused, many.notes], [null, 2000]);
  t.diagnostic(`2,000 of them changed in one edit, as a table would: ${many.ms.toFixed(0)} ms`);
  t.diagnostic(`20,000 entries (${(file.length / 1e6).toFixed(1)} MB): opened from a file in ${opened.toFixed(0)} ms, from the browser's store in ${again.toFixed(0)} ms (reach 2000)`);
  await context.close();
});

test("nothing in a studio's file can run in the page: names that are markup, in every place", async () => {
  const { context, page } = await openPage(browser, url());
  const studio = await demo();
  const markup = (i) => `<img src=x onerror="ran=1"><svg onload=ran=1>"'\`]]>${i}`;
  ["glazes", "hands", "bodies", "firings", "forms"].forEach((list) => studio[list].forEach((one, i) => {
    one.name = markup(i);
    if ("note" in one) one.note = markup(i);
    if ("kiln" in one) one.kiln = markup(i);
    if ("look" in one && list === "glazes") one.look = markup(i);
  }));
  studio.name = markup("studio");
  studio.entries.forEach((one, i) => {
    one.note = markup(i);
    if (one.name) one.name = markup(i);
  });
  await goTo(page, "studio");
  await page.setInputFiles("input[type=file]", { name: "bad.json", mimeType: "application/json", buffer: Buffer.from(JSON.stringify(studio)) });
  await page.getByText("Opened bad.json", { exact: false }).waitFor();
  for (const place of ["piece", "lesson", "log", "next", "studio"]) {
    await goTo(page, place);
    if (place === "lesson") await page.locator(".fronts svg").waitFor();
    if (place === "next") await page.locator(".tiles li").first().waitFor();
    if (place === "studio") await page.locator(".known-figure").first().waitFor();
    assert.deepEqual(await page.evaluate(() => [typeof window.ran, document.querySelectorAll("main img, main [onload], main [onerror], main script, main foreignObject").length]), ["undefined", 0], place);
  }
  assert.deepEqual(page.trouble, []);
  await context.close();
});
