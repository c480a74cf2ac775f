// Forms for the records of a studio: which fields each has, and how a record is made from what was typed.
// Takes a record or none; opens a form whose numbers the core reads.

import type { App } from "../../app.ts";
import { wordsOf } from "../../app.ts";
import type { Body, Firing, Form, Glaze, Hand, List, Quantity, Schedule, Segment, Shape, Studio } from "../../core/types.ts";
import type { Edit, StudioRecord } from "../../mirror.ts";
import type { Field } from "../../state.ts";
import { today } from "../log/desk.ts";
import { asField } from "../../ui/format.ts";
import { FAMILIES, firingName, KINDS, ROLES, TEXTURE_KINDS } from "../../ui/words.ts";

type Values = { [key: string]: string };
type Numbers = { [key: string]: number | null | undefined };

/**
 * Opens a form for one record of a list; numbers are read by the core before `make` sees them. What is left as it was stays the number
 * that it was: in a field it is rounded, and in other units not by the same step.
 */
function recordForm<R extends StudioRecord>(app: App, of: {
  list: List;
  what: string;
  record: R | null;
  fields: Field[];
  values: Values;
  numbers?: Numbers;
  name: (values: Values) => string;
  make: (id: string, code: string, values: Values, numbers: Numbers) => R | Promise<R>;
  title?: string;
  /** What to do when it is kept. */
  then?: (id: string) => void;
}): void {
  const { list, what, record, fields, name, make } = of;
  const values = { ...of.values };
  for (const field of fields) if (field.type === "number") values[field.key] = asField(of.numbers?.[field.key], field.quantity);
  // The dialog types into its own.
  const written = { ...values };
  app.openDialog({
    title: record ? name(values) || what : (of.title ?? `New ${what}`),
    fields,
    values,
    submit: "Keep",
    save: async (typed) => {
      const numbers: Numbers = {};
      const errors: Values = {};
      for (const field of fields) {
        if (field.type !== "number") continue;
        if (field.when && !field.when.is.includes(typed[field.when.key] ?? "")) continue;
        const text = (typed[field.key] ?? "").trim();
        if (text !== "" && text === written[field.key]) {
          numbers[field.key] = of.numbers?.[field.key];
          continue;
        }
        if (text === "") {
          numbers[field.key] = null;
          if (!field.optional) errors[field.key] = "Needed.";
          continue;
        }
        try {
          numbers[field.key] = (await app.read(text, field.quantity)).value;
        } catch (error) {
          errors[field.key] = wordsOf(error, "Not understood.");
        }
      }
      if (app.state.dialog) app.state.dialog.errors = errors;
      if (Object.keys(errors).length > 0) return "Something is missing or not understood.";
      const called = name(typed);
      const { id, code } = record ? { id: record.id, code: "" } : await app.fresh(list, called);
      const made = { ...(await make(id, code, typed, numbers)), changed_ms: Date.now() };
      const put: Edit = { kind: "put", list, record: made };
      const refusal = await app.tryEdit(put, `${record ? "changing" : "adding"} ${called}`);
      if (refusal === null) of.then?.(id);
      return refusal;
    },
    ...(record ? { remove: () => void app.edit({ kind: "remove", list, id: record.id }, `removing ${name(values)}`) } : {}),
  });
}

const text = (key: string, label: string, wide = false): Field => ({ key, label, type: "text", wide });
const area = (key: string, label: string): Field => ({ key, label, type: "area", wide: true });
const choice = (key: string, label: string, options: { [key: string]: string } | [string, string][], when?: Field["when"]): Field => ({
  key, label, type: "choice", options: Array.isArray(options) ? options : Object.entries(options), ...(when ? { when } : {}),
});
const number = (key: string, label: string, quantity: Quantity, more: { optional?: boolean; hint?: string; when?: NonNullable<Field["when"]> } = {}): Field => ({ key, label, type: "number", quantity, ...more });
/** A key with its value, or nothing at all. */
const some = <K extends string, V>(key: K, value: V | null | undefined): { [key in K]?: V } => (value === null || value === undefined ? {} : ({ [key]: value } as { [key in K]: V }));

export function editGlaze(app: App, glaze: Glaze | null): void {
  recordForm<Glaze>(app, {
    list: "glazes", what: "glaze", record: glaze,
    fields: [
      text("name", "Name"), text("look", "Look, in a word or two"),
      choice("kind", "How it flows, in your opinion", KINDS), number("usual_sg", "Usual slurry", "sg", { hint: "SG 1.45, 1450 g/L, 36 oz a pint, 90 Tw" }),
      { key: "colour", label: "Colour in drawings", type: "colour" },
      number("dry_density", "Dry density, relative to water", "plain", { optional: true, hint: "usual 2.60" }),
      number("loss", "Loss on ignition", "percent", { optional: true, hint: "usual 9 %" }),
      text("food_note", "Food surfaces, what is known", true), area("note", "Note"),
    ],
    values: {
      name: glaze?.name ?? "", look: glaze?.look ?? "", kind: glaze?.kind ?? "not_known", colour: glaze?.colour ?? "#9a8f80",
      food_note: glaze?.food_note ?? "", note: glaze?.note ?? "",
    },
    numbers: { usual_sg: glaze?.usual_sg ?? 1.45, dry_density: glaze?.dry_density, loss: glaze?.loss_on_ignition },
    name: (values) => values["name"] ?? "",
    make: (id, _code, v, n) => {
      const { dry_density: _d, loss_on_ignition: _l, ...kept } = glaze ?? ({} as Glaze);
      return {
        ...kept, id, name: v["name"] ?? "", look: v["look"] ?? "", colour: v["colour"] ?? "#9a8f80", kind: v["kind"] as Glaze["kind"], usual_sg: n["usual_sg"] ?? 0,
        ...some("dry_density", n["dry_density"]), ...some("loss_on_ignition", n["loss"]), food_note: v["food_note"] ?? "", note: v["note"] ?? "",
      } as Glaze;
    },
  });
}

export function editHand(app: App, hand: Hand | null): void {
  recordForm<Hand>(app, {
    list: "hands", what: "hand", record: hand,
    fields: [text("name", "Name or pencil code"), choice("role", "Role", ROLES), area("note", "Note")],
    values: { name: hand?.name ?? "", role: hand?.role ?? "student", note: hand?.note ?? "" },
    name: (values) => values["name"] ?? "",
    make: (id, _code, v) => ({ id, name: v["name"] ?? "", role: v["role"] as Hand["role"], note: v["note"] ?? "" }) as Hand,
  });
}

export function editBody(app: App, body: Body | null): void {
  recordForm<Body>(app, {
    list: "bodies", what: "clay body", record: body,
    fields: [text("name", "Name"), number("absorption", "Water taken up, of the dry weight", "percent"), number("wall_mm", "Usual wall", "length_mm"), number("density", "Bulk density, kg/m³", "plain", { optional: true, hint: "usual 1900" })],
    values: { name: body?.name ?? "" },
    numbers: { absorption: body?.absorption ?? 0.12, wall_mm: body?.wall_mm ?? 6, density: body?.density_kg_per_m3 },
    name: (values) => values["name"] ?? "",
    make: (id, _code, v, n) => ({ id, name: v["name"] ?? "", absorption: n["absorption"] ?? 0, wall_mm: n["wall_mm"] ?? 0, ...some("density_kg_per_m3", n["density"]) }) as Body,
  });
}

const SEGMENTS = 8;

/** A firing; a new one begins as a copy of the last: kiln and schedule, not its day. */
export function editFiring(app: App, firing: Firing | null, then?: (id: string) => void): void {
  const last = firing ?? app.state.studio?.firings.reduce<Firing | null>((latest, one) => (latest && (latest.day ?? "") > (one.day ?? "") ? latest : one), null) ?? null;
  const told = last?.schedule;
  const segments = told?.by === "segments" ? told.segments : [];
  const cones = ["06", "04", "5", "6", "7", "8", "9", "10"];
  const many = Math.min(SEGMENTS, Math.max(3, segments.length + 1));
  const by = { key: "by", is: ["segments"] };
  const values: Values = {
    name: firing?.name ?? "", day: firing ? (firing.day ?? "") : today(), kiln: last?.kiln ?? "", state: firing?.state ?? "planned",
    by: told?.by ?? (last ? "none" : "cone"), cone: told?.by === "cone" ? told.cone : "6", note: firing?.note ?? "",
  };
  const numbers: Numbers = { rate: told?.by === "cone" ? told.rate_c_per_h : 60 };
  segments.forEach((one, i) => {
    numbers[`rate${i}`] = one.rate_c_per_h;
    numbers[`target${i}`] = one.target_c;
    numbers[`hold${i}`] = one.hold_min > 0 ? one.hold_min : null;
  });
  recordForm<Firing>(app, {
    list: "firings", what: "firing", record: firing, ...(then ? { then } : {}), ...(last ? { title: `New firing, copied from ${firingName(last)}` } : {}),
    fields: [
      text("name", "Name"), { key: "day", label: "Day", type: "date" }, text("kiln", "Kiln"), choice("state", "Stands", { planned: "planned", fired: "fired", opened: "opened and read" }),
      choice("by", "Schedule", { segments: "by ramps and holds", cone: "by a cone and a rate", none: "not known" }),
      choice("cone", "Cone", cones.map((cone): [string, string] => [cone, cone]), { key: "by", is: ["cone"] }),
      number("rate", "Rate over the last 100 °C", "rate_c_per_h", { when: { key: "by", is: ["cone"] } }),
      ...Array.from({ length: many }, (_, i): Field[] => [
        number(`rate${i}`, `${i + 1}: rate`, "rate_c_per_h", { optional: true, when: by }),
        number(`target${i}`, "to", "temperature_c", { optional: true, when: by }),
        number(`hold${i}`, "hold", "minutes", { optional: true, when: by }),
      ]).flat(),
      area("note", "Note"),
    ],
    values,
    numbers,
    name: (v) => v["name"] || v["kiln"] || "",
    make: (id, _code, v, n) => {
      const { schedule: _s, day: _d, ...kept } = firing ?? ({} as Firing);
      const ramps: Segment[] = [];
      for (let i = 0; i < many; i++) {
        const rate = n[`rate${i}`], target = n[`target${i}`];
        if (rate !== null && rate !== undefined && target !== null && target !== undefined) ramps.push({ rate_c_per_h: rate, target_c: target, hold_min: n[`hold${i}`] ?? 0 });
      }
      const schedule: Schedule | null = v["by"] === "cone" ? { by: "cone", cone: v["cone"] ?? "6", rate_c_per_h: n["rate"] ?? 60 } : v["by"] === "segments" ? { by: "segments", segments: ramps } : null;
      return { ...kept, id, name: v["name"] ?? "", kiln: v["kiln"] ?? "", state: v["state"] as Firing["state"], ...some("day", v["day"] || null), ...some("schedule", schedule), note: v["note"] ?? "" } as Firing;
    },
  });
}

const MEASURES: { [family: string]: [string, string][] } = {
  jar: [["height_mm", "Height"], ["rim_diameter_mm", "Across the rim"], ["belly_diameter_mm", "Across the belly"], ["foot_diameter_mm", "Across the foot"]],
  bowl: [["height_mm", "Height"], ["rim_diameter_mm", "Across the rim"], ["foot_diameter_mm", "Across the foot"]],
  mug: [["height_mm", "Height"], ["rim_diameter_mm", "Across the rim"], ["foot_diameter_mm", "Across the foot"]],
  vase: [["height_mm", "Height"], ["rim_diameter_mm", "Across the rim"], ["neck_diameter_mm", "Across the neck"], ["belly_diameter_mm", "Across the belly"], ["foot_diameter_mm", "Across the foot"]],
  plate: [["height_mm", "Height"], ["rim_diameter_mm", "Across the rim"], ["foot_diameter_mm", "Across the foot"]],
  tile: [["width_mm", "Width"], ["length_mm", "Length down the slope"], ["slope_deg", "Slope from level, degrees"]],
};

export function editForm(app: App, form: Form | null): void {
  const shape = (form?.shape ?? { family: "jar", height_mm: 180, rim_diameter_mm: 90, belly_diameter_mm: 130, foot_diameter_mm: 80 }) as { [key: string]: unknown } & Shape;
  const own = shape.family === "points";
  const textured = { key: "texture", is: Object.keys(TEXTURE_KINDS) };
  const keys = [...new Set(Object.values(MEASURES).flat().map(([key]) => key))];
  const labels = new Map(Object.values(MEASURES).flat());
  const values: Values = {
    name: form?.name ?? "", family: shape.family, texture: form?.texture?.kind ?? "none",
  };
  const numbers: Numbers = {
    wall_mm: form?.wall_mm, rim_radius_mm: form?.rim_radius_mm,
    depth_mm: form?.texture?.depth_mm, repeat_mm: form?.texture?.repeat_mm, from_mm: form?.texture?.from_mm, to_mm: form?.texture?.to_mm,
  };
  for (const key of keys) if (typeof shape[key] === "number") numbers[key] = shape[key];
  const { points: _p, ...families } = FAMILIES;
  recordForm<Form>(app, {
    list: "forms", what: "form", record: form,
    fields: [
      text("name", "Name"),
      choice("family", "Shape", own ? { points: "own profile" } : families),
      ...(own ? [] : keys.map((key) => number(key, labels.get(key) ?? key, key === "slope_deg" ? "plain" : "length_mm", { when: { key: "family", is: Object.keys(MEASURES).filter((family) => MEASURES[family]?.some(([one]) => one === key)) } }))),
      number("wall_mm", "Wall", "length_mm", { optional: true, hint: "as the body’s" }), number("rim_radius_mm", "Radius of the rim", "length_mm", { optional: true, hint: "half the wall" }),
      choice("texture", "Texture", { none: "none", ...TEXTURE_KINDS }),
      number("depth_mm", "Depth, crest to recess", "length_mm", { when: textured }), number("repeat_mm", "Crest to crest", "length_mm", { when: textured }),
      number("from_mm", "From, down the wall", "length_mm", { when: textured }), number("to_mm", "To", "length_mm", { when: textured }),
    ],
    values,
    numbers,
    name: (v) => v["name"] ?? "",
    make: (id, _code, v, n) => {
      const made: { [key: string]: unknown } = own ? { ...shape } : { family: v["family"] };
      for (const [key] of MEASURES[v["family"] ?? ""] ?? []) made[key] = n[key];
      const texture = v["texture"] === "none" ? null : { kind: v["texture"], depth_mm: n["depth_mm"], repeat_mm: n["repeat_mm"], from_mm: n["from_mm"], to_mm: n["to_mm"] };
      return { id, name: v["name"] ?? "", shape: made, ...some("wall_mm", n["wall_mm"]), ...some("rim_radius_mm", n["rim_radius_mm"]), ...some("texture", texture) } as unknown as Form;
    },
  });
}

export function editStudio(app: App, studio: Studio): void {
  app.openDialog({
    title: "Name of the studio",
    fields: [text("name", "Name", true)],
    values: { name: studio.name },
    submit: "Keep",
    save: ({ name = "" }) => app.tryEdit({ kind: "name", name }, "another name of the studio"),
  });
}
