// The page's times, measured in the browser.
// Takes the served build; prints one JSON line per figure: what, measured, unit, reach (the figure to stay under).

import { readFile } from "node:fs/promises";
import { join } from "node:path";

import { countedAtOnce, readAs } from "./counted.mjs";
import { launch, url } from "./harness.mjs";
import { coldStart } from "./cold.mjs";
import { killTabs } from "./kills.mjs";
import { largeStudio, openFile, openLarge } from "./large.mjs";
import { answered, goTo, median, minus, openPage, plus } from "./steps.mjs";

const say = (what, measured, reach, unit = "ms") => console.log(JSON.stringify({ what, measured, unit, reach }));
const charted = (page) => page.locator(".chart[aria-busy=false]").waitFor();

const browser = await launch();
try {
  const { context, page } = await openPage(browser, url());
  await charted(page);
  await page.evaluate(() => Object.values(window.glazefall.timings).forEach((list) => Array.isArray(list) && (list.length = 0)));
  for (let i = 0; i < 20; i++) {
    await (i % 2 === 0 ? plus(page) : minus(page)).click();
    await answered(page);
    await charted(page);
  }
  const { quick_ms, full_ms, chart_ms } = await page.evaluate(() => ({ ...window.glazefall.timings }));
  say("a coat added: drawing and medians on screen, median of 20", median(quick_ms), 50);
  say("a coat added: full spread of 512 draws, median of 20", median(full_ms), 300);
  say("coat chart with all chances, in the worker, median of 20", median(chart_ms), 1000);
  await context.close();

  // The browser can slow the page's own thread only ("Operation is only supported for pages, not workers"), so what each thread worked
  // is told beside the time: four times their sum is the most that a start takes where both are slowed and never work at once.
  const starts = [];
  for (let i = 0; i < 5; i++) starts.push(await coldStart(browser, url(), 4));
  say("cold start to first numbers, the page's CPU slowed 4 × (the browser cannot slow the worker's), median of 5", median(starts.map((one) => one.first_ms)), 1500);
  say("cold start to the numbers that know the log, likewise", median(starts.map((one) => one.read_ms)), null);
  const unslowed = [];
  for (let i = 0; i < 5; i++) unslowed.push((await coldStart(browser, url(), 1)).worked_ms);
  if (unslowed.every((one) => one !== null)) say("4 × the CPU time of page and worker together until the first numbers, nothing slowed, median of 5", 4 * median(unslowed), 1500);

  for (const entries of [60, 2000]) {
    const { context: own, page: at } = await openPage(browser, url());
    if (entries > 60) {
      await openLarge(at, await largeStudio(entries), entries);
      await goTo(at, "piece");
      await at.waitForFunction(() => window.glazefall.state.answer?.read && window.glazefall.state.settled, null, { timeout: 120_000 });
    }
    const seen = await countedAtOnce(at, await readAs(at, 30));
    const what = `an entry saved in the log of ${entries}`;
    say(`${what}, until the numbers on Piece have changed with it`, seen.changed, 1000);
    say(`${what}, until their full spread has`, seen.full, null);
    say(`${what}, until the whole log has been read with it`, seen.whole, null);
    await own.close();
  }

  // Invented studios drawn from the priors, where whoever runs this has made them: GLAZEFALL_INVENTED names their folder.
  const invented = process.env.GLAZEFALL_INVENTED;
  for (const [entries, reach] of invented ? [[60, 100], [2000, 1000], [20_000, 10_000]] : []) {
    const { context: own, page: at } = await openPage(browser, url());
    await openFile(at, await readFile(join(invented, `${entries}.json`), "utf8"));
    const took = await at.waitForFunction((n) => {
      const { timings, state } = window.glazefall;
      return state.studio?.entries.length >= n && state.learning === null && state.learned?.counted === 0 && timings.learn_ms.length > 1 && timings.learn_ms.at(-1);
    }, entries, { timeout: 600_000, polling: 200 });
    say(`learning from ${entries} entries, in the worker and, from 200 on, its helper`, await took.jsonValue(), reach);
    await own.close();
  }

  const long = await openPage(browser, url());
  const { opened, again } = await openLarge(long.page, await largeStudio());
  say("a studio of 20,000 entries opened from a file, until it is on the screen", opened, 2000);
  say("the same from the browser's store, from the page's start", again, 2000);
  await long.context.close();

  const kills = 200;
  const { saved, lost, invalid } = await killTabs(browser, url(), kills, 20261125);
  say(`tabs crashed or closed at ${kills} random moments while entries were saved: entries lost of ${saved} called kept`, lost, 0, "entries");
  say("documents that the core did not take whole after that", invalid, 0, "documents");
} finally {
  await browser.close();
}
