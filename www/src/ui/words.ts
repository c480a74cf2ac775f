// Words for what the document holds.
// Takes records; gives the trade's words.

import type { Edge, Entry, Firing, GlazeKind, How, Layer, Learned, Look, PlanOutcome, Role, Run, RunWord, Schedule, Shape, Studio, TextureKind, TextureSeen, Verdict, AnsweredBy } from "../core/types.ts";
import { day, length, plural, rate, temperature } from "./format.ts";

export const KINDS: Record<GlazeKind, string> = { stiff: "stiff", medium: "medium", fluid: "fluid", not_known: "not known" };
export const ROLES: Record<Role, string> = { student: "student", teacher: "teacher", technician: "technician", other: "other" };
export const METHODS: Record<How["method"], string> = { brush: "brush", dip: "dip", spray: "spray" };
export const LOOKS: Record<Look, string> = { too_little: "too little", right: "right", too_much: "too much" };
export const TEXTURES: Record<TextureSeen, string> = { crisp: "crisp", softened: "softened", buried: "buried" };
export const TEXTURE_KINDS: Record<TextureKind, string> = { rings: "rings", upright_flutes: "upright flutes", pressed: "pressed or carved" };
export const EDGES: Record<Edge, string> = { onto_bare_clay: "onto bare clay", onto_glaze: "onto glaze", to_the_foot: "to the foot" };
export const RUN_WORDS: Record<RunWord, string> = {
  did_not_move: "did not move", a_little: "a little", some: "some", a_lot: "a lot", ran_off_the_end: "ran off the end", reached_the_foot: "reached the foot",
};
const VERDICTS: Record<Verdict, string> = { holds: "Holds", may_reach_the_foot: "May reach the foot", will_run_off: "Will run off" };
/** A verdict in words; a tile has an end where a pot has its foot. */
export const verdictWord = (studio: Studio | null, entry: Entry | null, verdict: Verdict): string => verdict === "may_reach_the_foot" && studio && entry && isTile(studio, entry) ? "May run off the end" : VERDICTS[verdict];
export const FAMILIES: Record<Shape["family"], string> = { jar: "jar", bowl: "bowl", mug: "mug", vase: "vase", plate: "plate", tile: "tile", points: "own profile" };
export const MODELS: Record<AnsweredBy, string> = {
  band_table: "the film's own answer for a band, from its table",
  film: "the film solved on the piece itself",
};

/** What of the log is counted in haste, or not yet, until the whole has been read; sentences with a space after each, or nothing. */
export function counting(learned: Learned | null): string {
  const { counted = 0, waiting = 0 } = learned ?? {};
  const changes = (count: number, how: string): string => (count > 0 ? `${plural(count, "change")} in the log ${count === 1 ? "is" : "are"} ${how}. ` : "");
  return changes(counted, "counted already, in haste") + changes(waiting, "not counted yet");
}

/** How many coats, dips or passes. */
export const units = (how: How): number => (how.method === "brush" ? how.coats : how.method === "dip" ? how.dips : how.passes);

/** The same how, with another count. */
export function withUnits(how: How, count: number): How {
  if (how.method === "brush") return { ...how, coats: count };
  if (how.method === "dip") return { ...how, dips: count };
  return { ...how, passes: count };
}

export const unitName = (how: How, count = units(how)): string => {
  const one = how.method === "brush" ? "coat" : how.method === "dip" ? "dip" : "pass";
  return count === 1 ? one : one === "pass" ? "passes" : `${one}s`;
};

export const howMuch = (how: How): string => `${units(how)}\u00a0${unitName(how)}`;

/** Where a layer lies. */
export function zone(layer: Layer, tile: boolean): string {
  const { from_mm, to_mm, over_rim, inside_mm } = layer.zone;
  const upper = from_mm > 0 ? length(from_mm) : tile ? "upper edge" : "rim";
  const inside = over_rim ? (inside_mm > 0 ? `, over the rim and ${length(inside_mm)} inside` : ", over the rim") : "";
  return `${upper} to ${length(to_mm)}${inside}`;
}

/** How much wall to leave bare, where the wall is as long as that. */
export const bareFoot = ({ layers }: Entry, { bare_foot_mm, bare_below_mm }: PlanOutcome): string =>
  bare_foot_mm > bare_below_mm + Math.max(...layers.map((layer) => layer.zone.to_mm)) ? "more than the wall" : length(bare_foot_mm);

/** The layers in the order in which they went on, in one line. */
export function stack(studio: Studio, entry: Entry): string {
  return entry.layers.map((layer) => `${howMuch(layer.how)} ${glazeName(studio, layer.glaze)}`).join(", then ");
}

export const glazeName = (studio: Studio, id: string): string => studio.glazes.find((one) => one.id === id)?.name ?? id;
export const handName = (studio: Studio, id: string | undefined): string => studio.hands.find((one) => one.id === id)?.name ?? "anyone";
export const formName = (studio: Studio, id: string): string => studio.forms.find((one) => one.id === id)?.name ?? id;

export function firingName(firing: Firing): string {
  const name = firing.name || firing.kiln;
  return firing.state === "planned" ? `${name}, planned` : firing.day ? `${name}, ${day(firing.day)}` : name;
}

export function schedule(told: Schedule | undefined): string {
  if (!told) return "no schedule: taken as 50 minutes at the peak";
  if (told.by === "cone") return `cone ${told.cone} at ${rate(told.rate_c_per_h)}`;
  return told.segments
    .map((one) => `${rate(one.rate_c_per_h)} to ${temperature(one.target_c)}${one.hold_min > 0 ? `, hold ${plural(one.hold_min, "minute")}` : ""}`)
    .join("; ");
}

export function run(seen: Run | undefined): string {
  if (!seen) return "not read";
  return seen.by === "ruler" ? length(seen.run_mm) : RUN_WORDS[seen.word];
}

export function measures(shape: Shape): string {
  switch (shape.family) {
    case "tile":
      return `${length(shape.width_mm)} wide, ${length(shape.length_mm)} long, ${shape.slope_deg}° from level`;
    case "points":
      return plural(shape.points.length, "point");
    case "jar":
    case "vase":
      return `${length(shape.height_mm)} high, ${length(shape.belly_diameter_mm)} across the belly, foot ${length(shape.foot_diameter_mm)}`;
    default:
      return `${length(shape.height_mm)} high, ${length(shape.rim_diameter_mm)} across the rim, foot ${length(shape.foot_diameter_mm)}`;
  }
}

export const isTile = (studio: Studio, entry: Entry): boolean => studio.forms.find((one) => one.id === entry.form)?.shape.family === "tile";

/** A piece as people call it. */
export const pieceName = (studio: Studio, entry: Entry): string => entry.name || formName(studio, entry.form);

export const upper = (text: string): string => text.charAt(0).toUpperCase() + text.slice(1);

/** Shelves of a kiln, as a choice; empty: any. */
export const SHELVES: [string, string][] = [["", "any shelf"], ...Array.from({ length: 8 }, (_, i): [string, string] => [String(i + 1), i === 0 ? "shelf 1, lowest" : `shelf ${i + 1}`])];
