// The studio: its file, what is known, its glazes, hands, clay, firings and forms, and its choices.
// Takes the app; gives lists whose lines open forms.

import { html, nothing, type TemplateResult } from "lit/html.js";
import type { App } from "../../app.ts";
import type { Glaze, Settings, Studio } from "../../core/types.ts";
import { oneOf, choose } from "../../ui/controls.ts";
import { gravity, length, percent, plain } from "../../ui/format.ts";
import { ornament } from "../../ui/picture.ts";
import { FAMILIES, KINDS, measures, ROLES, schedule, TEXTURE_KINDS, firingName } from "../../ui/words.ts";
import { editBody, editFiring, editForm, editGlaze, editHand, editStudio } from "./forms.ts";
import { keeping } from "./keeping.ts";
import { known } from "./known.ts";

export function studioPlace(app: App): TemplateResult {
  const { studio } = app.state;
  if (!studio) return html`<p class="opening">Opening the studio.</p>`;
  return html`<div class="list-place">
    <header><h1>${studio.name}</h1>
      <div class="acts"><button class="link" @click=${() => editStudio(app, studio)}>Rename</button></div></header>
    ${keeping(app, studio)}
    ${known(app, studio)}
    ${glazes(app, studio)}
    ${list("Hands", () => editHand(app, null), "Add a hand", studio.hands.length === 0 ? html`<p class="lead">None yet. Who puts the glaze on matters as much as the glaze: a name or a pencil code will do.</p>` : html`<ul class="lines">${studio.hands.map((one) => html`<li><button class="line" @click=${() => editHand(app, one)}><b>${one.name}</b><span>${ROLES[one.role]}</span>${learnedHand(app, one.id)}</button></li>`)}</ul>`)}
    ${list("Clay bodies", () => editBody(app, null), "Add a body", html`<ul class="lines">${studio.bodies.map((one) => html`<li><button class="line" @click=${() => editBody(app, one)}><b>${one.name}</b><span>takes up ${percent(one.absorption)} water, wall ${length(one.wall_mm)}</span></button></li>`)}</ul>`)}
    ${list("Firings", () => editFiring(app, null), "Add a firing", html`<ul class="lines">${[...studio.firings].reverse().map((one) => html`<li><button class="line" @click=${() => editFiring(app, one)}><b>${firingName(one)}</b><span>${one.kiln}. ${schedule(one.schedule)}</span></button></li>`)}</ul>`)}
    ${list("Forms", () => editForm(app, null), "Add a form", html`<ul class="lines">${studio.forms.map((one) => html`<li><button class="line" @click=${() => editForm(app, one)}><b>${one.name}</b><span>${FAMILIES[one.shape.family]}, ${measures(one.shape)}${one.texture ? `; ${TEXTURE_KINDS[one.texture.kind]}, ${plain(one.texture.depth_mm)}\u00a0mm deep` : ""}</span></button></li>`)}</ul>`)}
    ${settings(app, studio)}
  </div>`;
}

function list(title: string, add: () => void, label: string, body: TemplateResult): TemplateResult {
  return html`<section class="list"><header><h2>${title}</h2><button class="link" @click=${add}>${label}</button></header>${body}</section>`;
}

function glazes(app: App, studio: Studio): TemplateResult {
  return list("Glazes", () => editGlaze(app, null), "Add a glaze", studio.glazes.length === 0 ? html`<p class="lead">None yet. A glaze needs a name and its usual slurry; how it flows can wait for the first tile.</p>` : html`
    <ul class="lines glazes">${studio.glazes.map((glaze) => html`<li><button class="line" @click=${() => editGlaze(app, glaze)}>
      ${ornament(app.state.swatches.get(glaze.id), "swatch")}
      <b>${glaze.name}</b><span>${[glaze.look, KINDS[glaze.kind], `SG ${gravity(glaze.usual_sg)}`].filter(Boolean).join(", ")}</span>${learnedGlaze(app, glaze)}
    </button></li>`)}</ul>`);
}

function learnedGlaze(app: App, glaze: Glaze): TemplateResult | typeof nothing {
  const known = app.state.learned?.glazes.find((one) => one.id === glaze.id);
  return known ? html`<span class="known">${known.words}</span>` : nothing;
}

function learnedHand(app: App, id: string): TemplateResult | typeof nothing {
  const known = app.state.learned?.hands.find((one) => one.id === id);
  return known ? html`<span class="known">${known.words}</span>` : nothing;
}

function settings(app: App, studio: Studio): TemplateResult {
  const { settings: now } = studio;
  const { usual_firing, ...others } = now;
  const put = (label: string, change: Partial<Settings>): void => void app.edit({ kind: "settings", settings: { ...now, ...change } }, label);
  const lines = [0.01, 0.02, 0.05, 0.1, 0.2];
  const off = [0.2, 0.3, 0.5, 0.7];
  return html`<section class="list settings"><header><h2>Choices</h2></header>
    <div class="fields">
      ${oneOf({ label: "Units on the page", name: "units", value: now.units, options: [["metric", "millimetres"], ["imperial", "inches"]], take: (units) => put("other units", { units: units as Settings["units"] }) })}
      ${oneOf({ label: "Pint for pint weights", name: "pint", value: now.pint, options: [["imperial", "imperial, 568 mL"], ["us", "US, 473 mL"]], take: (pint) => put("another pint", { pint: pint as Settings["pint"] }) })}
      ${oneOf({ label: "Hydrometer’s modulus (°Bé)", name: "baume", value: String(now.baume_modulus), options: [["145", "145"], ["144.3", "144.3"]], take: (modulus) => put("another modulus", { baume_modulus: Number(modulus) }) })}
      ${oneOf({ label: "Paper", name: "paper", value: now.paper, options: [["a4", "A4"], ["letter", "US Letter"]], take: (paper) => put("another paper", { paper: paper as Settings["paper"] }) })}
      ${choose({ label: "“Holds” up to a chance of reaching the foot of", name: "holds", kind: "field", value: String(now.holds_up_to), options: options(lines, now.holds_up_to), take: (to) => put("another line for holds", { holds_up_to: Number(to) }) })}
      ${choose({ label: "“Will run off” from", name: "off", kind: "field", value: String(now.runs_off_from), options: options(off, now.runs_off_from), take: (to) => put("another line for running off", { runs_off_from: Number(to) }) })}
      ${choose({ label: "Usual firing", name: "usual-firing", kind: "field", value: usual_firing ?? "", options: [["", "cone 6 at 60 °C/h"], ...studio.firings.map((one): [string, string] => [one.id, firingName(one)])], take: (id) => void app.edit({ kind: "settings", settings: { ...others, ...(id ? { usual_firing: id } : {}) } }, "another usual firing") })}
    </div>
  </section>`;
}

const options = (values: number[], now: number): [string, string][] => [...new Set([...values, now])].sort((a, b) => a - b).map((value) => [String(value), percent(value)]);
