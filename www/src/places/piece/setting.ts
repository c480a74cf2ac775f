// What is being planned, as a sentence whose nouns can be changed.
// Takes the app; gives the plan's heading and its sentence.

import { html, nothing, type TemplateResult } from "lit/html.js";
import type { App } from "../../app.ts";
import type { Entry, Layer, Studio } from "../../core/types.ts";
import { firingName, SHELVES } from "../../ui/words.ts";
import { choose } from "../../ui/controls.ts";
import { renamePlan, makePlan } from "./plan-forms.ts";

export function heading(app: App, entry: Entry): TemplateResult {
  const plans = app.plans();
  return html`
    <div class="plan-head">
      <h1 class="vh">Piece: ${entry.name || entry.code}</h1>
      ${choose({
        label: "Plan",
        name: "plan",
        value: entry.id,
        options: [...plans, ...(entry.outcome ? [entry] : [])].map((one) => [one.id, one.outcome ? `${one.code}, read` : one.name || one.code]),
        kind: "title",
        take: (id) => app.piece.choosePlan(id),
      })}
      <div class="acts">
        ${entry.code ? html`<span class="pencil">Pencil <b class="code">${entry.code}</b> on it</span>` : nothing}
        <button class="link" @click=${() => makePlan(app)}>New plan</button>
        <button class="link" @click=${() => renamePlan(app, entry)}>Rename</button>
        ${plans.length > 1 ? html`<button class="link" @click=${() => app.piece.removePlan()}>Delete</button>` : nothing}
      </div>
    </div>`;
}

/** Layers as they can lie on another form: a tile has no rim to go over, and ends. */
function fitting(studio: Studio, form: string, layers: Layer[]): Layer[] {
  const shape = studio.forms.find((one) => one.id === form)?.shape;
  if (shape?.family !== "tile") return layers;
  return layers.map((layer) => {
    const { from_mm, to_mm } = layer.zone;
    const to = Math.min(to_mm, 0.8 * shape.length_mm);
    return { ...layer, zone: { from_mm: from_mm < to ? from_mm : 0, to_mm: to, over_rim: false, inside_mm: 0 } };
  });
}

export function sentence(app: App, studio: Studio, entry: Entry): TemplateResult {
  const put = (label: string, change: { [K in keyof Entry]?: Entry[K] | undefined }): void =>
    app.piece.change(label, (one) => {
      const next: Record<string, unknown> = { ...one, ...change };
      for (const key of Object.keys(next)) if (next[key] === undefined) delete next[key];
      return next as unknown as Entry;
    });
  const usual = studio.firings.find((one) => one.id === studio.settings.usual_firing);
  const usualBody = studio.bodies.find((one) => one.id === studio.settings.usual_body) ?? studio.bodies[0];
  const none = "";
  return html`<p class="setting">
    ${choose({ label: "Form", name: "form", value: entry.form, options: studio.forms.map((one) => [one.id, one.name]), kind: "word", take: (form) => put("another form", { form, layers: fitting(studio, form, entry.layers) }) })}
    ${studio.bodies.length > 0
      ? html`in ${choose({ label: "Clay body", name: "body", value: entry.body ?? none, options: [[none, `${usualBody?.name ?? "clay"} (usual)`], ...studio.bodies.map((one): [string, string] => [one.id, one.name])], kind: "word", take: (body) => put("another clay body", { body: body || undefined }) })},`
      : nothing}
    glazed by ${choose({ label: "Hand", name: "hand", value: entry.hand ?? none, options: [[none, "anyone"], ...studio.hands.map((one): [string, string] => [one.id, one.name])], kind: "word", take: (hand) => put("another hand", { hand: hand || undefined }) })},
    fired in ${choose({ label: "Firing", name: "firing", value: entry.firing ?? none, options: [[none, usual ? `${firingName(usual)} (usual)` : "cone 6 at 60 °C/h"], ...studio.firings.map((one): [string, string] => [one.id, firingName(one)])], kind: "word", take: (firing) => put("another firing", { firing: firing || undefined }) })}
    on ${choose({ label: "Shelf", name: "shelf", value: entry.shelf === undefined ? none : String(entry.shelf), options: SHELVES, kind: "word", take: (shelf) => put("another shelf", { shelf: shelf ? Number(shelf) : undefined }) })}.
  </p>`;
}
