// What the browser tests do again and again on the page.
// Takes pages; gives what stands on them, and waits for the core's answers.

import { watched } from "./harness.mjs";

export const SIZES = { 1280: { width: 1280, height: 800 }, 820: { width: 820, height: 1180 }, 390: { width: 390, height: 844 } };

/** A page on the demonstration, its first full answer there. */
export async function openPage(browser, address, options = {}) {
  const context = await browser.newContext({ viewport: SIZES[1280], ...options });
  const page = await watched(context);
  await page.goto(address);
  await answered(page);
  return { context, page };
}

/** Waits until everything asked for has been answered in full and nothing is being written or learned. */
export async function answered(page) {
  await page.waitForFunction(() => {
    const state = window.glazefall?.state;
    return state?.settled && state.answer?.phase === "full" && state.learned && document.querySelector(".numbers.full");
  }, null, { timeout: 30_000 });
}

export const kept = (page) => page.waitForFunction(() => window.glazefall.state.save.kind === "saved");
export const plus = (page) => page.getByRole("button", { name: /^One more/ }).first();
export const minus = (page) => page.locator(".layers .layer").first().locator(".step").first();
export const countOf = async (page) => Number(await page.locator(".layers .many b").first().innerText());
export const numbers = (page) => page.locator(".numbers").innerText();
export const pot = (page) => page.locator(".hero .pot").innerHTML();

export function median(values) {
  const sorted = [...values].sort((a, b) => a - b);
  return sorted[Math.floor(sorted.length / 2)] ?? NaN;
}

export const PLACES = ["piece", "lesson", "log", "next", "studio"];

export async function goTo(page, place) {
  await page.evaluate((hash) => {
    location.hash = hash;
  }, place);
  await page.locator(`.top nav a[href="#${place}"][aria-current=page]`).waitFor();
  if (place === "piece") await answered(page);
}
