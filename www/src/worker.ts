// The worker that owns the core.
// Takes the compiled wasm first; gives the core's version.

import { Engine, initSync } from "./core/glazefall.js";

self.addEventListener("message", (event: MessageEvent<WebAssembly.Module>) => {
  initSync({ module: event.data });
  self.postMessage(new Engine().version());
});
