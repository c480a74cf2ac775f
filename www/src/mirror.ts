// The page's own copy of the document, changed ahead of the core's word so that what was pressed shows at once.
// Takes a studio and an edit; gives the studio as it will be. The core checks; a refusal brings its copy back.

import { completeRecord } from "./core/complete.ts";
import type { Body, Entry, Firing, Form, Glaze, Hand, List, Photo, Settings, Studio, WeighIn } from "./core/types.ts";

/** A record of a studio. */
export type StudioRecord = Glaze | Hand | Body | Firing | Form | Entry | WeighIn | Photo;

/** A change of the document, as the core reads it. */
export type Edit =
  | { kind: "put"; list: List; record: StudioRecord; at?: number }
  | { kind: "remove"; list: List; id: string }
  | { kind: "settings"; settings: Settings }
  | { kind: "name"; name: string }
  | { kind: "many"; edits: Edit[] };

/** From so many changes at once on, each list is gone through once instead of once per change. */
const MANY = 100;

function mirrorMany(studio: Studio, edits: Edit[]): Studio {
  const lists = new Map<List, Map<string, StudioRecord>>();
  const of = (list: List): Map<string, StudioRecord> => {
    const known = lists.get(list) ?? new Map(studio[list].map((one): [string, StudioRecord] => [one.id, one]));
    lists.set(list, known);
    return known;
  };
  for (const edit of edits) {
    if (edit.kind === "put" && edit.at === undefined) of(edit.list).set(edit.record.id, completeRecord(edit.list, edit.record));
    else if (edit.kind === "remove") of(edit.list).delete(edit.id);
    else return edits.reduce(mirror, studio);
  }
  return { ...studio, ...Object.fromEntries([...lists].map(([list, records]) => [list, [...records.values()]])) };
}

export function mirror(studio: Studio, edit: Edit): Studio {
  switch (edit.kind) {
    case "put": {
      const list: { id: string }[] = studio[edit.list];
      const record = completeRecord(edit.list, edit.record);
      const at = list.findIndex((one) => one.id === record.id);
      return { ...studio, [edit.list]: at < 0 ? list.toSpliced(edit.at ?? list.length, 0, record) : list.with(at, record) };
    }
    case "remove": {
      const list: { id: string }[] = studio[edit.list];
      return { ...studio, [edit.list]: list.filter((one) => one.id !== edit.id) };
    }
    case "settings":
      return { ...studio, settings: { ...studio.settings, ...edit.settings } };
    case "name":
      return { ...studio, name: edit.name };
    case "many":
      return edit.edits.length < MANY ? edit.edits.reduce(mirror, studio) : mirrorMany(studio, edit.edits);
  }
}
