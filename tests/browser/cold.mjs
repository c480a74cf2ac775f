// A start of the page in a browser that has never seen it: how long until the first numbers, and what its threads worked for them.
// Takes a browser and how much the page's own thread is slowed; gives milliseconds.

import { readdirSync, readFileSync } from "node:fs";

import { watched } from "./harness.mjs";
import { answered, SIZES } from "./steps.mjs";

/** What the page's and the worker's threads have worked so far, ms; null where the system does not say (not Linux). */
function worked(pids) {
  let sum = 0;
  for (const pid of pids) {
    try {
      for (const thread of readdirSync(`/proc/${pid}/task`)) {
        const name = readFileSync(`/proc/${pid}/task/${thread}/comm`, "utf8").trim();
        if (Number(thread) === pid || name.startsWith("DedicatedWorker")) sum += Number(readFileSync(`/proc/${pid}/task/${thread}/schedstat`, "utf8").split(" ")[0]) / 1e6;
      }
    } catch {
      return null;
    }
  }
  return sum;
}

export async function coldStart(browser, address, slowed) {
  const session = await browser.newBrowserCDPSession();
  const renderers = async () => (await session.send("SystemInfo.getProcessInfo")).processInfo.filter((one) => one.type === "renderer").map((one) => one.id);
  const before = await renderers();
  const context = await browser.newContext({ viewport: SIZES[1280] });
  const page = await watched(context);
  let pids = [];
  // Told by the page as soon as they are on the screen: asking it again and again would be work too.
  const first = new Promise((done) => page.on("console", (message) => {
    if (message.text() === "first numbers") done(worked(pids));
  }));
  await page.addInitScript(() => {
    const timer = setInterval(() => {
      if (!window.glazefall?.timings.first_ms) return;
      clearInterval(timer);
      console.log("first numbers");
    }, 10);
  });
  await (await context.newCDPSession(page)).send("Emulation.setCPUThrottlingRate", { rate: slowed });
  await page.goto(address, { waitUntil: "commit" });
  pids = (await renderers()).filter((id) => !before.includes(id));
  const worked_ms = await first;
  await answered(page);
  const { first_ms, read_ms } = await page.evaluate(() => ({ ...window.glazefall.timings }));
  await context.close();
  await session.detach();
  return { first_ms, read_ms, worked_ms };
}
