// The page's times, measured in the browser.
// Takes the served build; prints one JSON line per figure: what, measured, unit, reach (the figure to stay under).

import { launch, url, watched } from "./harness.mjs";
import { killTabs } from "./kills.mjs";
import { answered, median, minus, openPage, plus } from "./steps.mjs";

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

  const starts = [];
  for (let i = 0; i < 3; i++) {
    const cold = await browser.newContext({ viewport: { width: 1280, height: 800 } });
    const slow = await watched(cold);
    const session = await cold.newCDPSession(slow);
    await session.send("Emulation.setCPUThrottlingRate", { rate: 4 });
    await slow.goto(url());
    await answered(slow);
    starts.push(await slow.evaluate(() => window.glazefall.timings.first_ms));
    await cold.close();
  }
  say("cold start to first numbers, the page's CPU slowed 4 × (the browser cannot slow the worker's), median of 3", median(starts), 1500);

  const kills = 200;
  const { saved, lost, invalid } = await killTabs(browser, url(), kills, 20261125);
  say(`tabs crashed or closed at ${kills} random moments while entries were saved: entries lost of ${saved} called kept`, lost, 0, "entries");
  say("documents that the core did not take whole after that", invalid, 0, "documents");
} finally {
  await browser.close();
}
