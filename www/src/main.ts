// The page's entry: starts the worker, opens the studio, draws.
// Takes the document; gives the page, and `glazefall` on the window for tests.

import { render } from "lit/html.js";
import demo from "../../fixtures/demo/studio.json";
import { App } from "./app.ts";
import { coreModule, workerScript } from "./core/assets.ts";
import { frame } from "./frame.ts";
import type { Edit } from "./mirror.ts";

declare const __VERSION__: string;

const root = document.getElementById("page");
if (!root) throw new Error("the page has no root");

let asked = false;
const draw = (): void => {
  if (asked) return;
  asked = true;
  queueMicrotask(() => {
    asked = false;
    render(frame(app, measure), root);
  });
};

root.replaceChildren();
const app = new App(workerScript(), coreModule(), () => JSON.stringify(demo), draw);
app.state.version = __VERSION__;
draw();
void app.start();

// The drawing takes the room it has; the core draws it at that size.
let watched: Element | null = null;
const room = new ResizeObserver((entries) => {
  const width = Math.floor(entries.at(-1)?.contentRect.width ?? 0);
  if (width > 0) app.piece.boxes({ width, height: potHeight(width) }, { width, height: width < 600 ? 170 : 96 });
});
function measure(figure: Element | undefined): void {
  if (!figure || figure === watched) return;
  if (watched) room.unobserve(watched);
  watched = figure;
  room.observe(figure);
}
const potHeight = (width: number): number => (width < 520 ? Math.min(480, Math.round(width * 1.15)) : Math.max(460, Math.min(760, innerHeight - 310)));

addEventListener("keydown", (event) => {
  const { target } = event;
  // An empty field has nothing of its own to take back.
  const typing = (target instanceof HTMLTextAreaElement || (target instanceof HTMLInputElement && target.type === "text")) && target.value !== "";
  if (typing || app.state.dialog || !(event.ctrlKey || event.metaKey) || event.altKey) return;
  const key = event.key.toLowerCase();
  if (key === "z") {
    event.preventDefault();
    void app.takeBack(event.shiftKey ? "redo" : "undo");
  } else if (key === "y") {
    event.preventDefault();
    void app.takeBack("redo");
  } else if (key === "s") {
    event.preventDefault();
    void app.keeper.saveFile();
  }
});

// A file dropped on the page is a studio to open.
addEventListener("dragover", (event) => event.preventDefault());
addEventListener("drop", (event) => {
  event.preventDefault();
  const file = event.dataTransfer?.files[0];
  if (file) void app.openFile(file);
});

const sw = document.documentElement.dataset["sw"];
if (sw && location.protocol.startsWith("http") && "serviceWorker" in navigator) {
  navigator.serviceWorker.register(sw).then((registration) => {
    const offer = (waiting: ServiceWorker): void =>
      app.say("A new version is ready.", false, { label: "Reload", run: () => waiting.postMessage({ kind: "take-over" }) });
    if (registration.waiting && navigator.serviceWorker.controller) offer(registration.waiting);
    registration.addEventListener("updatefound", () => {
      const coming = registration.installing;
      coming?.addEventListener("statechange", () => {
        if (coming.state === "installed" && navigator.serviceWorker.controller) offer(coming);
      });
    });
  }, () => undefined);
  let had = navigator.serviceWorker.controller !== null;
  navigator.serviceWorker.addEventListener("controllerchange", () => {
    if (had) location.reload();
    had = true;
  });
}

Object.assign(window, { glazefall: { trap: (helper?: boolean) => app.trap(helper), edit: (edit: Edit) => app.tryEdit(edit, "a change from outside"), document: () => app.client.ask<"document">({ kind: "document" }), timings: app.timings, state: app.state } });
