// Tabs killed while entries are being saved: how much of what was called saved is lost.
// Takes a count and a seed; gives what was confirmed, what was lost, and documents that were not valid afterwards.

import { watched } from "./harness.mjs";
import { answered, SIZES } from "./steps.mjs";

/** Numbers that look like chance and come again: a linear congruence (Numerical Recipes' constants), its upper half. */
function chance(seed) {
  let state = seed >>> 0;
  return () => {
    state = (Math.imul(state, 1664525) + 1013904223) >>> 0;
    return (state >>> 8) / 2 ** 24;
  };
}

// Saves one entry after another, each told as soon as the page says that it is kept.
async function save(run) {
  const { glazefall } = window;
  const base = glazefall.state.studio.entries.find((entry) => entry.outcome);
  for (let i = 0; ; i++) {
    const id = `kill-${run}-${i}`;
    const refused = await glazefall.edit({ kind: "put", list: "entries", record: { ...base, id, code: `K${run}x${i}`.slice(0, 8), note: "n".repeat((37 * i) % 400), kept: true, changed_ms: Date.now() } });
    if (refused !== null) {
      window.confirmed(`refused: ${refused}`);
      return;
    }
    while (glazefall.state.save.kind === "saving") await new Promise((done) => setTimeout(done, 0));
    if (glazefall.state.save.kind !== "saved") {
      window.confirmed(`not kept: ${glazefall.state.save.why}`);
      return;
    }
    window.confirmed(id);
  }
}

/** Kills the tab `kills` times, each at a random moment of a stream of saves, and looks at what is there afterwards. */
export async function killTabs(browser, address, kills, seed) {
  const random = chance(seed);
  const context = await browser.newContext({ viewport: SIZES[1280] });
  const confirmed = new Set();
  const trouble = [];
  await context.exposeFunction("confirmed", (id) => (id.startsWith("kill-") ? confirmed.add(id) : trouble.push(id)));
  let lost = 0;
  let invalid = 0;
  for (let run = 0; run <= kills; run++) {
    const page = await watched(context);
    await page.goto(address);
    await answered(page);
    const there = await page.evaluate(() => window.glazefall.state.studio.entries.map((entry) => entry.id));
    const ids = new Set(there);
    for (const id of confirmed) if (!ids.has(id)) lost += 1;
    if (ids.size !== there.length || (await page.locator(".strip.grave").count()) > 0) invalid += 1;
    const opens = await page.evaluate(async () => JSON.parse(await window.glazefall.document()).entries.length);
    if (opens !== there.length) invalid += 1;
    // What was found is taken out again, so that each kill begins alike.
    await page.evaluate((gone) => window.glazefall.edit({ kind: "many", edits: gone.map((id) => ({ kind: "remove", list: "entries", id })) }), there.filter((id) => id.startsWith("kill-")));
    await page.waitForFunction(() => window.glazefall.state.save.kind === "saved");
    const before = confirmed.size;
    confirmed.clear();
    killTabs.seen = (killTabs.seen ?? 0) + before;
    if (run === kills) break;
    page.evaluate(save, run).catch(() => undefined);
    await new Promise((done) => setTimeout(done, 20 + 400 * random()));
    const session = await context.newCDPSession(page);
    session.send("Page.crash").catch(() => undefined);
    await page.waitForEvent("crash");
    await page.close().catch(() => undefined);
  }
  const saved = killTabs.seen;
  killTabs.seen = 0;
  await context.close();
  return { saved, lost, invalid, trouble };
}
