// The core writes documents without what is empty, false or zero; the page wants every key.
// Takes what was parsed; gives whole records. The choices' own defaults come from the core.

import type { Entry, Firing, Layer, List, Settings, Studio } from "./types.ts";
import type { StudioRecord } from "../mirror.ts";

/** Keys that may be absent, with what their absence means. */
const EMPTY: { [list in List]: object } = {
  glazes: { look: "", viscosity_points: [], food_note: "", note: "", changed_ms: 0 },
  hands: { note: "", changed_ms: 0 },
  bodies: { changed_ms: 0 },
  firings: { name: "", note: "", changed_ms: 0 },
  forms: { changed_ms: 0 },
  entries: { code: "", name: "", note: "", kept: false, changed_ms: 0 },
  weigh_ins: { note: "", changed_ms: 0 },
  photos: { changed_ms: 0 },
};

const NOT_OVER_RIM = { over_rim: false, inside_mm: 0 };
const NO_HOLD = { hold_min: 0 };
const LISTS = Object.keys(EMPTY) as List[];

/** A record with every key. */
export function completeRecord<R extends StudioRecord>(list: List, record: R): R {
  const whole = { ...EMPTY[list], ...record };
  if (list === "entries") {
    const entry = whole as unknown as Entry;
    entry.layers = (entry.layers ?? []).map((layer: Layer) => ({ ...layer, zone: { ...NOT_OVER_RIM, ...layer.zone } }));
  }
  if (list === "firings") {
    const { schedule } = whole as unknown as Firing;
    if (schedule?.by === "segments") schedule.segments = schedule.segments.map((one) => ({ ...NO_HOLD, ...one }));
  }
  return whole;
}

/** A studio with every key. */
export function completeStudio(document: Studio, settings: Settings): Studio {
  const lists = Object.fromEntries(LISTS.map((list) => [list, ((document[list] ?? []) as StudioRecord[]).map((record) => completeRecord(list, record))]));
  return { ...document, invented: document.invented ?? false, removed: document.removed ?? [], settings, ...lists } as Studio;
}
