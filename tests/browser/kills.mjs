// Tabs killed while entries are being saved: how much of what was called kept is lost.
// Takes a count and a seed; gives what was confirmed, what was lost, and documents that were not valid afterwards.
// A small page of the same origin looks into the store after each kill, and has the core read all of it.

import { watched } from "./harness.mjs";
import { SIZES } from "./steps.mjs";

/** Numbers that look like chance and come again: a linear congruence (Numerical Recipes' constants), its upper half. */
function chance(seed) {
  let state = seed >>> 0;
  return () => {
    state = (Math.imul(state, 1664525) + 1013904223) >>> 0;
    return (state >>> 8) / 2 ** 24;
  };
}

// In the page: saves one entry after another, each told as soon as the page says that it is kept.
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

// In the checker: the core of the page, in its own worker, asked by the page's own messages.
async function wake() {
  const home = new DOMParser().parseFromString(await (await fetch("./")).text(), "text/html");
  const asset = (id) => new URL(home.getElementById(id).getAttribute("href"), location.href).href;
  const module = await WebAssembly.compileStreaming(fetch(asset("asset-wasm")));
  const worker = new Worker(asset("asset-worker"));
  const heard = (kind) => new Promise((done) => {
    worker.onmessage = ({ data }) => {
      if (data.kind === kind || data.kind === "refused" || data.kind === "trapped") done(data);
    };
  });
  const ready = heard("ready");
  worker.postMessage({ kind: "boot", module });
  await ready;
  let id = 0;
  window.ask = (ask) => {
    id += 1;
    const reply = heard("reply");
    worker.postMessage({ kind: "ask", id, ask });
    return reply;
  };
}

// In the checker: what is in the store, whether the core takes all of it; then what the kill left is taken out again, so that
// each kill begins alike.
async function look() {
  const db = await new Promise((done, fail) => {
    const opening = indexedDB.open("glazefall", 1);
    opening.onsuccess = () => done(opening.result);
    opening.onerror = () => fail(opening.error);
  });
  const tx = db.transaction(["records", "head"], "readwrite");
  const got = (request) => new Promise((done, fail) => {
    request.onsuccess = () => done(request.result);
    request.onerror = () => fail(request.error);
  });
  const store = tx.objectStore("records");
  const [head, rows] = await Promise.all([got(tx.objectStore("head").get("studio")), got(store.index("at").getAll())]);
  const kept = rows.filter((row) => row.json !== null);
  for (const row of rows) if (row.key.startsWith("entries/kill-")) store.delete(row.key);
  await new Promise((done, fail) => {
    tx.oncomplete = done;
    tx.onerror = () => fail(tx.error);
  });
  db.close();
  const records = kept.map((row) => [row.list, row.key.slice(row.list.length + 1), row.json]);
  const reply = head === undefined ? null : await window.ask({ kind: "assemble", head, records });
  const opened = reply?.kind === "reply" ? JSON.parse(reply.value.studio) : null;
  const entries = kept.filter((row) => row.list === "entries");
  return {
    ids: entries.map((row) => row.key.slice("entries/".length)),
    valid: opened !== null && reply.value.left_out.length === 0 && opened.entries.length === entries.length,
  };
}

/** Ways in which a tab ends. */
const WAYS = [
  async (page, context) => {
    const session = await context.newCDPSession(page);
    const crashed = page.waitForEvent("crash");
    session.send("Page.crash").catch(() => undefined);
    await crashed;
    await page.close().catch(() => undefined);
  },
  (page) => page.close({ runBeforeUnload: false }),
  async (page, context) => {
    const session = await context.newCDPSession(page);
    const closed = page.waitForEvent("close");
    const { targetInfo } = await session.send("Target.getTargetInfo");
    session.send("Target.closeTarget", { targetId: targetInfo.targetId }).catch(() => undefined);
    await closed;
  },
];

/** Kills the tab `kills` times, each at a random moment of a stream of saves, and looks at what is there afterwards. */
export async function killTabs(browser, address, kills, seed) {
  const random = chance(seed);
  // Without its service worker the page is the same; with it, the checker's address would be answered by the page.
  const context = await browser.newContext({ viewport: SIZES[390], serviceWorkers: "block" });
  const confirmed = new Set();
  const trouble = [];
  let told = () => undefined;
  await context.exposeFunction("confirmed", (id) => {
    if (id.startsWith("kill-")) confirmed.add(id);
    else trouble.push(id);
    told();
  });
  const at = new URL("checker", address).href;
  await context.route(at, (route) => route.fulfill({ contentType: "text/html", body: "<!doctype html><title>checker</title>" }));
  const found = { saved: 0, lost: 0, invalid: 0, trouble };
  let checker = null;
  const check = async () => {
    if (!checker) {
      checker = await context.newPage();
      checker.on("crash", () => {
        checker = null;
      });
      await checker.goto(at);
      await checker.evaluate(wake);
    }
    return checker.evaluate(look);
  };
  for (let run = 0; run < kills; run++) {
    confirmed.clear();
    const page = await watched(context);
    await page.goto(`${address}#log`);
    await page.waitForFunction(() => window.glazefall?.state.studio && window.glazefall.state.save.kind === "saved" && window.glazefall.state.role === "writer");
    page.evaluate(save, run).catch(() => undefined);
    // After none to five entries, at any moment of the next one.
    const first = Math.floor(6 * random());
    const moment = 100 * random();
    while (confirmed.size < first && trouble.length === 0) await new Promise((done) => {
      told = done;
    });
    await new Promise((done) => setTimeout(done, moment));
    await WAYS[run % WAYS.length](page, context);
    const called = [...confirmed];
    const { ids, valid } = await check();
    const there = new Set(ids);
    found.saved += called.length;
    found.lost += called.filter((id) => !there.has(id)).length;
    if (!valid || there.size !== ids.length) found.invalid += 1;
  }
  await context.close();
  return found;
}
