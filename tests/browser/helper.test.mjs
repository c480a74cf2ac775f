// Learning shared with a helper worker: the same to the last digit as by one worker alone, and nobody notices where the helper is lost.
// Takes the served build and the one file; prints the times.

import assert from "node:assert/strict";
import { after, before, test } from "node:test";

import { launch, oneFileUrl, serveFolder, siteFolder, url, watched } from "./harness.mjs";
import { largeStudio, openFile } from "./large.mjs";
import { answered, goTo, SIZES } from "./steps.mjs";

const ENTRIES = 400;
let browser;
let file;
before(async () => {
  browser = await launch();
  file = await largeStudio(ENTRIES);
});
after(() => browser.close());

/** A page that is told of so many cores. */
async function withCores(cores, address = url(), options = {}) {
  const context = await browser.newContext({ viewport: SIZES[1280], ...options });
  await context.addInitScript((n) => Object.defineProperty(navigator, "hardwareConcurrency", { get: () => n }), cores);
  const page = await watched(context);
  await page.goto(address);
  await answered(page);
  return { context, page };
}

/** Waits until the log of so many entries is learned whole. */
const learnedWhole = (page, entries = ENTRIES) => page.waitForFunction((n) => {
  const { state, timings } = window.glazefall;
  return state.studio?.entries.length === n && state.learning === null && state.learned?.waiting === 0 && timings.learn_ms.length > 1;
}, entries, { timeout: 120_000 });

/** What is known and foretold, as text, and whether a helper drew a part of it. */
async function said(page) {
  await goTo(page, "piece");
  return page.evaluate(() => {
    const { state: { learned, answer }, timings } = window.glazefall;
    return { known: JSON.stringify([learned.glazes, learned.hands, learned.odd_entries, learned.calibration, answer.outcome]), helped: timings.helped.at(-1), ms: timings.learn_ms.at(-1) };
  });
}

/** The log opened and learned. */
async function opened(cores, address) {
  const { context, page } = await withCores(cores, address);
  await openFile(page, file);
  await learnedWhole(page);
  const all = await said(page);
  assert.deepEqual(page.trouble, []);
  await context.close();
  return all;
}

/** The same where a helper is to draw: on a machine that others use it can be too slow to be waited for. */
async function openedWithHelper(address) {
  let all;
  for (let i = 0; i < 5 && !all?.helped; i++) all = await opened(2, address);
  assert.ok(all.helped, "no helper in five learnings");
  return all;
}

let alone;
test("one core: nobody helps", async () => {
  alone = await opened(1);
  assert.equal(alone.helped, false);
});

test("two cores: a helper draws a part, and all that is known and foretold is the same to the last digit", async (t) => {
  const both = await openedWithHelper();
  assert.equal(both.known, alone.known);
  t.diagnostic(`${ENTRIES} entries learned by one worker in ${alone.ms.toFixed(0)} ms, with a helper in ${both.ms.toFixed(0)} ms`);
});

test("the one file, opened from a disk, is helped likewise", async () => {
  assert.equal((await openedWithHelper(oneFileUrl())).known, alone.known);
});

test("the helper traps: its worker does that part too, and says nothing of it", async () => {
  const { context, page } = await withCores(2);
  await page.evaluate(() => window.glazefall.trap(true));
  await openFile(page, file);
  await learnedWhole(page);
  const all = await said(page);
  assert.deepEqual([all.helped, all.known === alone.known], [false, true]);
  assert.equal(await page.getByText("was started again", { exact: false }).count(), 0);
  assert.deepEqual(page.trouble, []);
  await context.close();
});

test("the helper's script cannot be had: likewise", async (t) => {
  const server = await serveFolder(siteFolder(), t);
  const { context, page } = await withCores(2, server.url, { serviceWorkers: "block" });
  await server.close();
  await openFile(page, file);
  await learnedWhole(page);
  const all = await said(page);
  assert.deepEqual([all.helped, all.known === alone.known], [false, true]);
  await context.close();
});

test("an entry changes while the log is being learned: what was begun is thrown away, the answer counts the change", async () => {
  const changed = async (cores) => {
    const { context, page } = await withCores(cores);
    await openFile(page, file);
    await page.waitForFunction((n) => window.glazefall.state.studio?.entries.length === n, ENTRIES);
    for (const run of [3, 31]) {
      await page.evaluate((run_mm) => {
        const entry = window.glazefall.state.studio.entries.find((one) => one.outcome?.run?.run_mm !== undefined);
        return window.glazefall.edit({ kind: "put", list: "entries", record: { ...entry, outcome: { ...entry.outcome, run: { ...entry.outcome.run, run_mm } } } });
      }, run);
    }
    await learnedWhole(page);
    const { known } = await said(page);
    assert.deepEqual(page.trouble, []);
    await context.close();
    return known;
  };
  const [one, two] = [await changed(1), await changed(2)];
  assert.equal(two, one);
  assert.notEqual(one, alone.known);
});
