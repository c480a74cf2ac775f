// What the page and its worker say to each other.
// Takes intents with an id; gives one or more replies with the same id. No number is made here.

import type { Applied, ChartCell, Learned, Lesson, MergeDone, Message, MomentName, NextTiles, Opened, PlanOutcome, Quantity, Reading, RunWord, Settings, TableRead, Weighed, WordMm } from "./types.ts";

/** A drawing with its words. */
export interface Picture { svg: string; words: string }

/** The box of a drawing, CSS px, and where its ids begin. */
export interface Box { width: number; height: number }

/** The moment a pot is drawn at: 0 raw, then one per moment of the firing. */
export type Moment = number;

/** What is asked of the worker. */
export type Ask =
  | { kind: "open"; studio: string }
  | { kind: "assemble"; head: string; records: [list: string, id: string, json: string][] }
  | { kind: "open_kept"; studio: string }
  | { kind: "records" }
  | { kind: "document" }
  | { kind: "reopen" }
  | { kind: "edit"; edit: string }
  | { kind: "answer"; entry: string; draws: number; pot: Box; twenty: Box; moment: Moment; lens: string }
  | { kind: "picture"; entry: string; pot: Box; moment: Moment; lens: string; twenty?: Box }
  | { kind: "chart"; entry: string; draws: number }
  | { kind: "swatches"; width: number; height: number }
  | { kind: "read"; text: string; quantity: Quantity }
  | { kind: "word"; entry: string; word: RunWord }
  | { kind: "fresh"; list: string; name: string }
  | { kind: "blank"; name: string; id: string }
  | { kind: "call"; name: keyof Calls; args: unknown[] }
  | { kind: "earlier"; width: number }
  /** For tests: traps the worker's engine, or that of the next helper. */
  | { kind: "trap"; helper: boolean };

/** What the newest firing taught: its glazes before and after it, and the largest changes. */
export interface Earlier { firing: string; glazes: Picture; lines: string[] }

/** A table of the studio. */
export type Table = "log" | "weigh_ins";

/** What is asked of the engine by its own name, one answer each. */
export interface Calls {
  table_out(which: Table, comma: boolean): string;
  table_in(which: Table, text: string): TableRead;
  merge(text: string): MergeDone;
  document_without_photos(): string;
  weigh(hand: string, glaze: string, method: string, count: number, area: string, before: string, after: string, sg: string, seconds: string): { weighed: Weighed | null; wrong: { [field: string]: string } };
  known(width: number): { glazes: Picture; pairs?: Picture; hands: Picture; firings: Picture; reliability?: Picture };
  forecast(entry: string, draws: number): PlanOutcome;
  next_tiles(entry: string, budget: number): NextTiles;
  lesson_start(first: string, second: string): Lesson;
  lesson_look(moment: number, names: string[], chart: number, width: number, height: number): { fronts: Picture; square: Picture; pots: Picture[] };
}

/** The whole studio as it is kept. */
export interface Records { head: string; records: { list: string; id: string; json: string }[] }

/** What comes back, by kind of question. */
export interface Replies {
  open: Opened;
  assemble: Opened;
  open_kept: Settings;
  records: Records;
  document: string;
  reopen: Opened;
  edit: Applied;
  answer: AnswerPart;
  picture: Looked;
  chart: ChartPart;
  swatches: [glaze: string, picture: Picture][];
  read: Reading;
  word: WordMm;
  fresh: { id: string; code: string };
  blank: string;
  earlier: Earlier | null;
  call: unknown;
  trap: undefined;
}

/** Draws of a full spread: a plan's figures are the same wherever it is shown. */
export const FULL_DRAWS = 512;

/** Quick first (medians and the drawing), then the full spread. */
export interface AnswerPart {
  phase: "quick" | "full";
  entry: string;
  /** It rests on what the log has taught; else, while that is being read for the first time, on what is usual for such glazes. */
  read: boolean;
  outcome: PlanOutcome;
  pot: Picture;
  lens: Picture | null;
  firing: Picture;
  twenty: Picture;
  /** One swatch per layer, the wall first, and the clay's last. */
  strata: Picture[];
  moments: MomentName[];
  /** Where the lens can look. */
  spots: string[];
  /** Worker's own time for this part, ms. */
  worker_ms: number;
}

/** The pot at another moment, and its lens. */
export interface Looked { pot: Picture; lens: Picture | null; firing: Picture; twenty?: Picture }

/** Cells of the coat chart as they come. */
export interface ChartPart { entry: string; cells: ChartCell[]; done: boolean; worker_ms: number }

/** Page → worker. */
export type ToWorker =
  | { kind: "boot"; module: WebAssembly.Module; script: string | Blob; cores: number }
  | { kind: "ask"; id: number; ask: Ask }
  | { kind: "drop"; id: number };

/** Worker → page. */
export type FromWorker =
  | { kind: "ready"; version: string }
  | { kind: "reply"; id: number; last: boolean; value: unknown }
  | { kind: "refused"; id: number; refusals: Message[] }
  /** `worker_ms`: how long the worker was at it, or waited for its helper; nothing where lines were counted only. `helped`: a helper drew a part. */
  | { kind: "learned"; learned: Learned; worker_ms: number | null; helped: boolean }
  | { kind: "learning"; share: number }
  | { kind: "trapped"; id: number | null; message: string };

/** Worker → its helper. */
export type ToHelper =
  | { kind: "help"; module: WebAssembly.Module; studio: string }
  | { kind: "draw"; from: Float64Array; trap: boolean };

/** Helper → worker: what it drew, or nothing where it could not. */
export interface FromHelper { kind: "pair"; pair: Float64Array<ArrayBuffer> | undefined }
