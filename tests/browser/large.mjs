// A studio of 20,000 entries, or of fewer: opened from a file and from the browser's store.
// Takes a page on the demonstration; gives milliseconds from having the file, or from the page's start, to the studio on the screen.

import { readFile } from "node:fs/promises";

import { goTo } from "./steps.mjs";

export const ENTRIES = 20_000;

/** The demonstration with its readings again and again. */
export async function largeStudio(entries = ENTRIES) {
  const studio = JSON.parse(await readFile(new URL("../../fixtures/demo/studio.json", import.meta.url), "utf8"));
  const read = studio.entries.filter((entry) => entry.outcome);
  studio.id = "large-studio";
  studio.invented = false;
  studio.entries = studio.entries.concat(Array.from({ length: entries - studio.entries.length }, (_, i) => ({ ...read[i % read.length], id: `large-${i}`, code: `L${i}`, kept: true })));
  return JSON.stringify(studio);
}

/** Gives the Studio place a file, as a person does who chooses it. */
export async function openFile(page, file) {
  await goTo(page, "studio");
  // From the moment in which the page has the file.
  await page.evaluate((text) => {
    const input = document.querySelector("input[type=file]");
    const given = new DataTransfer();
    given.items.add(new File([text], "large.json"));
    input.files = given.files;
    window.since = performance.now();
    input.dispatchEvent(new Event("change"));
  }, file);
}

/** Opens it in the Studio place, waits until it is kept, and starts the page anew. */
export async function openLarge(page, file, entries = ENTRIES) {
  const there = () => page.waitForFunction((n) => window.glazefall?.state.studio?.entries.length === n && document.querySelector(".glazes .line") && performance.now() - (window.since ?? 0), entries, { timeout: 60_000, polling: 20 });
  await openFile(page, file);
  const opened = await (await there()).jsonValue();
  await page.waitForFunction(() => window.glazefall.state.save.kind === "saved", null, { timeout: 60_000 });
  await page.reload();
  const again = await (await there()).jsonValue();
  return { opened, again };
}
