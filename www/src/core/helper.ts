// A second worker that draws half of a learning's chains with an engine of its own, where the machine has a core to spare.
// Takes the compiled core and the studio's document; gives the numbers that it drew. One is started for each learning and ended with it: it then holds no memory
// between, and what is no longer wanted stops at once.

import { made, type Core } from "./asked.ts";
import init from "./glazefall.js";
import type { FromHelper, ToHelper } from "./protocol.ts";

/** What a helper is made of: the worker's own script by its address, and the compiled core. */
export interface Made { script: string; module: WebAssembly.Module }

/** How far a helper is. */
export type Help = "getting ready" | "drawing" | "lost" | Float64Array;

/** The worker's side. */
export class Helper {
  help: Help = "getting ready";
  #worker: Worker | null = null;

  /** `heard` is called whenever `help` has changed by itself. */
  constructor({ script, module }: Made, studio: string, heard: () => void) {
    const be = (help: Help): void => {
      this.help = help;
      this.end();
      heard();
    };
    try {
      this.#worker = new Worker(script);
      this.#worker.onmessage = ({ data: { pair } }: MessageEvent<FromHelper>) => be(pair ?? "lost");
      this.#worker.onerror = (event) => {
        event.preventDefault();
        be("lost");
      };
      this.#post({ kind: "help", module, studio });
    } catch {
      this.help = "lost";
    }
  }

  /** Where its chains start. */
  draw(from: Float64Array<ArrayBuffer>, trap: boolean): void {
    this.help = "drawing";
    this.#post({ kind: "draw", from, trap }, [from.buffer]);
  }

  end(): void {
    this.#worker?.terminate();
    this.#worker = null;
  }

  #post(message: ToHelper, transfer: Transferable[] = []): void {
    this.#worker?.postMessage(message, transfer);
  }
}

/** In a box: the engine has a method of any name, so that a promise would take it for another promise. */
let ready: Promise<{ core: Core }> | null = null;

/** The helper's side: what it does with a message of the worker's. */
export function helped(said: ToHelper, answer: (message: FromHelper, transfer: Transferable[]) => void): void {
  if (said.kind === "help") {
    ready = init({ module_or_path: said.module }).then(() => {
      const core = made();
      core.open_kept(said.studio);
      core.learn_start();
      return { core };
    });
  }
  const lost = (): void => answer({ kind: "pair", pair: undefined }, []);
  ready?.then(({ core }) => {
    if (said.kind !== "draw") return;
    if (said.trap) core.trap();
    const pair = core.learn_pair(said.from);
    answer({ kind: "pair", pair }, pair ? [pair.buffer] : []);
  }).catch(lost);
}
