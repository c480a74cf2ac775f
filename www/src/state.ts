// What the page shows: plain data, changed only by app.ts.

import type { AnswerPart, Picture } from "./core/protocol.ts";
import type { ChartCell, Learned, MomentName, PlanOutcome, Quantity, Studio } from "./core/types.ts";
import type { TabRole } from "./save/tabs.ts";

export const PLACES = ["piece", "lesson", "log", "next", "studio"] as const;
export type Place = (typeof PLACES)[number];

/** Something to say once; it stays until it is put away. */
export interface Notice {
  id: number;
  text: string;
  /** Something that the reader should not miss. */
  grave: boolean;
  action?: { label: string; run: () => void };
}

/** One step that can be taken back. */
export interface Step { label: string; edit: string }

export type SaveState =
  | { kind: "opening" }
  | { kind: "saving" }
  | { kind: "saved" }
  | { kind: "refused"; why: string };

export interface Answer {
  phase: AnswerPart["phase"];
  entry: string;
  read: boolean;
  outcome: PlanOutcome;
  twenty: Picture;
  strata: Picture[];
  spots: string[];
  moments: MomentName[];
}

/** A form over the page. */
export interface FormDialog {
  title: string;
  fields: Field[];
  values: Record<string, string>;
  /** As they were when it was opened. */
  first: Record<string, string>;
  errors: Record<string, string>;
  understood: Record<string, string>;
  submit: string;
  save: (values: Record<string, string>) => Promise<string | null>;
  remove?: () => void;
  error: string | null;
}

export type Field = {
  key: string;
  label: string;
  hint?: string;
  wide?: boolean;
  /** Shown only while another field has one of these values. */
  when?: { key: string; is: string[] };
} & (
  | { type: "text" | "area" | "date" | "colour" }
  | { type: "number"; quantity: Quantity; optional?: boolean }
  | { type: "choice"; options: [string, string][] }
);

export interface State {
  place: Place;
  studio: Studio | null;
  plan: string | null;
  answer: Answer | null;
  /** What was shown of a plan, at one state of it, before the log was read. */
  unread: { entry: string; changed_ms: number; run_mm: number } | null;
  /** The last question has been answered in full. */
  settled: boolean;
  pot: Picture | null;
  lensPicture: Picture | null;
  firingPicture: Picture | null;
  /** The pot belongs to this plan. */
  potOf: string | null;
  moment: number;
  lens: string;
  chart: { entry: string; cells: ChartCell[]; done: boolean } | null;
  refused: string | null;
  learned: Learned | null;
  learning: number | null;
  /** How often the log has been read. */
  learnedTimes: number;
  swatches: Map<string, Picture>;
  open: number | null;
  understood: Map<string, string>;
  undo: Step[];
  redo: Step[];
  save: SaveState;
  persisted: boolean | null;
  fileSavedMs: number | null;
  /** Entries read and weigh-ins made since then. */
  sinceFile: number;
  /** The file that is kept current, by its name. */
  current: string | null;
  role: TabRole;
  notices: Notice[];
  dialog: FormDialog | null;
  said: string;
  version: string;
}

export const begin = (): State => ({
  place: "piece",
  studio: null,
  plan: null,
  answer: null,
  unread: null,
  settled: false,
  pot: null,
  lensPicture: null,
  firingPicture: null,
  potOf: null,
  moment: -1,
  lens: "",
  chart: null,
  refused: null,
  learned: null,
  learning: null,
  learnedTimes: 0,
  swatches: new Map(),
  open: null,
  understood: new Map(),
  undo: [],
  redo: [],
  save: { kind: "opening" },
  persisted: null,
  fileSavedMs: null,
  sinceFile: 0,
  current: null,
  role: "writer",
  notices: [],
  dialog: null,
  said: "",
  version: "",
});
