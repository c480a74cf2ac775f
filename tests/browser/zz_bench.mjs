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
  // Invented studios drawn from the priors, where whoever runs this has made them: GLAZEFALL_INVENTED names their folder.
  const invented = process.env.GLAZEFALL_INVENTED;
  for (const [entries, reach] of invented ? [[60, 100], [2000, 1000], [20_000, 10_000]] : []) {
    const { context: own, page: at } = await openPage(browser, url());
    await openFile(at, await readFile(join(invented, `${entries}.json`), "utf8"));
    const took = await at.waitForFunction((n) => {
      const { timings, state } = window.glazefall;
      return state.studio?.entries.length >= n && state.learning === null && state.learned?.counted === 0 && timings.learn_ms.length > 1 && timings.learn_ms.at(-1);
    }, entries, { timeout: 600_000, polling: 200 });
    say(`learning from ${entries} entries, in the worker`, await took.jsonValue(), reach);
    await own.close();
  }

} finally {
  await browser.close();
}
