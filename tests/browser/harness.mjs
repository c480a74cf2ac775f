// What every browser test needs: a real Chromium, the served page, the one file, a page that fails on errors.
// Takes the addresses and paths that `cargo xtask test` puts into the environment; gives functions that open pages.

import { createServer } from "node:http";
import { readFile } from "node:fs/promises";
import { createRequire } from "node:module";
import { extname, join } from "node:path";
import { pathToFileURL } from "node:url";

// The packages lie beside the page, not beside its tests.
const packages = createRequire(new URL("../../www/package.json", import.meta.url));
export const { chromium } = packages("playwright-core");
export const axeSource = () => readFile(packages.resolve("axe-core/axe.min.js"), "utf8");

function told(name) {
  const value = process.env[name];
  if (!value) throw new Error(`${name} is not set: run the browser tests with \`cargo xtask test browser\``);
  return value;
}

export const url = () => told("GLAZEFALL_URL");
export const siteFolder = () => told("GLAZEFALL_SITE");
export const oneFileUrl = () => pathToFileURL(told("GLAZEFALL_ONE_FILE")).href;
export const oneFilePath = () => told("GLAZEFALL_ONE_FILE");

// One Chromium; the sandbox needs rights that a container's root does not have.
export function launch(options = {}) {
  return chromium.launch({
    executablePath: told("GLAZEFALL_CHROMIUM"),
    args: ["--no-sandbox", "--disable-gpu", "--disable-dev-shm-usage"],
    ...options,
  });
}

// A page whose console errors, uncaught errors and requests to elsewhere are gathered in `page.trouble`.
export async function watched(context) {
  const page = await context.newPage();
  page.trouble = [];
  page.on("console", (message) => {
    if (message.type() === "error") page.trouble.push(`console: ${message.text()}`);
  });
  page.on("pageerror", (error) => page.trouble.push(`uncaught: ${error.message}`));
  page.on("request", (request) => {
    const { protocol, hostname } = new URL(request.url());
    if (!["file:", "data:", "blob:"].includes(protocol) && hostname !== "127.0.0.1") {
      page.trouble.push(`asks elsewhere: ${request.url()}`);
    }
  });
  return page;
}

const KINDS = {
  ".html": "text/html; charset=utf-8",
  ".js": "text/javascript; charset=utf-8",
  ".css": "text/css; charset=utf-8",
  ".wasm": "application/wasm",
  ".svg": "image/svg+xml",
  ".webmanifest": "application/manifest+json",
};

// A server of the test's own, for a folder whose contents the test changes or that it takes away with `close()`; where a
// test `t` is given it ends with that in any case.
export async function serveFolder(folder, t) {
  const server = createServer(async (request, response) => {
    const path = new URL(request.url, "http://127.0.0.1").pathname;
    const name = path === "/" ? "index.html" : path.slice(1);
    try {
      const content = await readFile(join(folder, name));
      response.writeHead(200, { "Content-Type": KINDS[extname(name)] ?? "application/octet-stream", "Cache-Control": "no-cache" });
      response.end(content);
    } catch {
      response.writeHead(404).end();
    }
  });
  await new Promise((ready) => server.listen(0, "127.0.0.1", ready));
  const close = () =>
    new Promise((closed) => {
      server.close(() => closed());
      server.closeAllConnections();
    });
  t?.after(close);
  server.unref();
  return { url: `http://127.0.0.1:${server.address().port}/`, close };
}
