// The engine with a method for each question, all of which go through its one door.
// Takes an engine; gives what the worker calls. Names and values are those of crate/src/wasm/ask.rs.

import { Engine } from "./glazefall.js";
import type { Calls, Picture } from "./protocol.ts";
import type { Learned } from "./types.ts";

export interface Core extends Calls {
  version(): string;
  blank(name: string, id: string): string;
  open(text: string): unknown;
  assemble(head: string, records: unknown): unknown;
  open_kept(text: string): unknown;
  opened(): unknown;
  document(): string;
  records(): unknown;
  edit(json: string): unknown;
  fresh(list: string, name: string): unknown;
  read(text: string, quantity: string): unknown;
  word_mm(entry: string, word: string): unknown;
  unlearned(): boolean;
  count(): boolean;
  learn_start(): void;
  learn_step(): number;
  learn_share(): string | undefined;
  learn_from(): Float64Array<ArrayBuffer> | undefined;
  learn_pair(from: Float64Array): Float64Array<ArrayBuffer> | undefined;
  learn_put(pair: Float64Array | undefined): void;
  learned(): Learned;
  earlier_start(): string | undefined;
  earlier_step(): number;
  earlier_known(width: number): [Picture?, string[]?];
  quick(entry: string): unknown;
  predict_start(entry: string, draws: number): void;
  predict_step(): unknown;
  chart_start(entry: string, draws: number): void;
  chart_step(): unknown[];
  chart_done(): boolean;
  pot(entry: string, moment: number, lens: string, width: number, height: number): unknown;
  lens(entry: string, moment: number, spot: string, width: number, height: number): unknown;
  firing(entry: string, moment: number, width: number, height: number): unknown;
  twenty(entry: string, width: number, height: number): unknown;
  strata(entry: string, width: number, height: number): unknown;
  swatches(width: number, height: number): unknown;
  moments(entry: string): unknown;
  spots(entry: string): unknown;
  trap(): void;
}

/** An engine with no studio. */
export function made(): Core {
  const engine = new Engine();
  return new Proxy({} as Core, { get: (_, name) => (...values: unknown[]): unknown => engine.ask(String(name), values) });
}
