// The three ways to run the page: served, kept for use without a network, and as one file opened from a file: address.

import assert from "node:assert/strict";
import { cp, mkdtemp, readFile, rm, stat, writeFile } from "node:fs/promises";
import { tmpdir } from "node:os";
import { join } from "node:path";
import { after, before, test } from "node:test";

import { launch, oneFilePath, oneFileUrl, serveFolder, siteFolder, url, watched } from "./harness.mjs";

let browser;
before(async () => {
  browser = await launch();
});
after(() => browser.close());

// The page has started when the core has answered and the opening line is gone.
const started = (page) => page.waitForFunction(() => document.querySelector("#page .opening") === null, null, { timeout: 30_000 });

const workerInControl = (page) =>
  page.evaluate(async () => {
    const registration = await navigator.serviceWorker.ready;
    return registration.active?.state === "activated" || registration.active !== null;
  });

test("served: it starts, asks nobody elsewhere, reports no error", async () => {
  const context = await browser.newContext();
  const page = await watched(context);
  await page.goto(url());
  await started(page);
  assert.deepEqual(page.trouble, []);
  await context.close();
});

test("one file: it starts from a file: address and asks nobody", async () => {
  const context = await browser.newContext();
  const page = await watched(context);
  const asked = [];
  page.on("request", (request) => asked.push(request.url()));
  await page.goto(oneFileUrl());
  await started(page);
  assert.deepEqual(page.trouble, []);
  const outside = asked.filter((address) => !/^(file|data|blob):/.test(address));
  assert.deepEqual(outside, []);
  assert.equal(asked.filter((address) => address.startsWith("file:")).length, 1);
  await context.close();
});

test("one file: at most 600 KB", async () => {
  const { size } = await stat(oneFilePath());
  assert.ok(size <= 600_000, `the one-file version has ${size} bytes`);
});

test("offline: after one visit the page starts without a server", async (t) => {
  const server = await serveFolder(siteFolder(), t);
  const context = await browser.newContext();
  const page = await watched(context);
  await page.goto(server.url);
  await started(page);
  assert.ok(await workerInControl(page));
  await server.close();
  await page.reload();
  await started(page);
  assert.deepEqual(page.trouble, []);
  await context.close();
});

// A later build of the site: the page's text and the set's hashes differ.
async function publish(folder, change) {
  const page = join(folder, "index.html");
  const old = await readFile(page, "utf8");
  const html = old.replace("<title>Glazefall</title>", `<title>Glazefall ${change}</title>`);
  assert.notEqual(html, old);
  const hash = async (text) => {
    const digest = await crypto.subtle.digest("SHA-256", new TextEncoder().encode(text));
    return `sha256-${Buffer.from(digest).toString("base64")}`;
  };
  const worker = join(folder, "sw.js");
  const code = await readFile(worker, "utf8");
  const renewed = code.replace(await hash(old), await hash(html)).replace(/"[0-9a-f]{10}"/, `"${change}"`);
  assert.notEqual(renewed, code);
  await writeFile(worker, renewed);
  await writeFile(page, html);
}

async function copyOfSite(t) {
  const folder = await mkdtemp(join(tmpdir(), "glazefall-site-"));
  t.after(() => rm(folder, { recursive: true }));
  await cp(siteFolder(), folder, { recursive: true });
  return folder;
}

const waiting = (page) =>
  page.waitForFunction(async () => {
    const registration = await navigator.serviceWorker.ready;
    return registration.waiting !== null;
  });

test("a new version waits until the user agrees, then takes over whole", async (t) => {
  const folder = await copyOfSite(t);
  const server = await serveFolder(folder, t);
  const context = await browser.newContext();
  const page = await watched(context);
  await page.goto(server.url);
  await started(page);
  assert.ok(await workerInControl(page));
  // A second tab, so that the old version has a page at every moment of the first one's reload.
  const second = await context.newPage();
  await second.goto(server.url);
  await started(second);

  await publish(folder, "0123456789");
  await page.evaluate(async () => (await navigator.serviceWorker.ready).update());
  await waiting(page);
  await page.reload();
  await started(page);
  assert.equal(await page.title(), "Glazefall", "nobody agreed yet");

  assert.ok(await page.evaluate(async () => (await navigator.serviceWorker.ready).waiting !== null), "it still waits");
  // The page loads itself anew when the new version takes over, perhaps before this call has returned.
  await page
    .evaluate(async () => (await navigator.serviceWorker.ready).waiting.postMessage({ kind: "take-over" }))
    .catch(() => undefined);
  await page.waitForFunction(() => document.title.startsWith("Glazefall 0123456789"));
  await started(page);
  assert.deepEqual(await page.evaluate(() => caches.keys()), ["glazefall-0123456789"]);
  await context.close();
});

test("a half-published version is refused and the old one stays", async (t) => {
  const folder = await copyOfSite(t);
  const server = await serveFolder(folder, t);
  const context = await browser.newContext();
  const page = await watched(context);
  await page.goto(server.url);
  await started(page);
  assert.ok(await workerInControl(page));

  const whole = await readFile(join(folder, "index.html"), "utf8");
  await publish(folder, "aaaaaaaaaa");
  await writeFile(join(folder, "index.html"), whole); // the new page has not arrived yet
  const ending = await page.evaluate(async () => {
    const registration = await navigator.serviceWorker.ready;
    const ended = new Promise((resolve) => {
      registration.addEventListener("updatefound", () => {
        const worker = registration.installing;
        worker.addEventListener("statechange", () => resolve(worker.state));
      });
    });
    await registration.update().catch(() => undefined);
    return ended;
  });
  assert.equal(ending, "redundant");
  assert.equal(await page.evaluate(async () => (await navigator.serviceWorker.ready).waiting), null);
  assert.equal(await page.evaluate(async () => (await caches.keys()).length), 1);
  await server.close();
  await page.reload();
  await started(page);
  await context.close();
});
