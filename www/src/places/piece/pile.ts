// The layers as a pile: the last coat on top, the wall at the bottom, plus and minus on each.
// Takes the open plan; gives rows that change it.

import { html, nothing, type TemplateResult } from "lit/html.js";
import { live } from "lit/directives/live.js";
import type { App } from "../../app.ts";
import type { Entry, How, Layer, Studio } from "../../core/types.ts";
import { choose, oneOf, typed } from "../../ui/controls.ts";
import { gravity, lengthField, plain } from "../../ui/format.ts";
import { filling } from "../../ui/picture.ts";
import { glazeName, isTile, METHODS, unitName, units, zone } from "../../ui/words.ts";

export function pile(app: App, studio: Studio, entry: Entry): TemplateResult {
  const tile = isTile(studio, entry);
  const strata = app.state.answer?.entry === entry.id ? app.state.answer.strata : [];
  const rows = entry.layers.map((layer, at) => row(app, studio, entry, layer, at, tile, strata[at]));
  const body = studio.bodies.find((one) => one.id === (entry.body ?? studio.settings.usual_body)) ?? studio.bodies[0];
  return html`<section class="pile" aria-label="Layers">
    <div class="pile-head"><h2>Layers</h2><button class="link" @click=${() => app.piece.addLayer()}>Add a layer on top</button></div>
    <ol class="layers" reversed>
      ${rows.reverse()}
    </ol>
    <div class="layer clay">${filling(strata[entry.layers.length], "strata")}<p class="what">${body?.name ?? "Clay"}, bisque</p></div>
  </section>`;
}

function row(app: App, studio: Studio, entry: Entry, layer: Layer, at: number, tile: boolean, drawn: import("../../core/protocol.ts").Picture | undefined): TemplateResult {
  const count = units(layer.how);
  const name = glazeName(studio, layer.glaze);
  const unit = unitName(layer.how, 1);
  const open = app.state.open === at;
  const glaze = studio.glazes.find((one) => one.id === layer.glaze);
  const how = layer.how.method === "dip" ? `dipped ${plain(layer.how.seconds)}\u00a0s` : layer.how.method === "spray" ? "sprayed" : "brushed";
  const less = count > 1 ? `One ${unit} less of ${name}` : `Remove ${name}`;
  const sg = layer.sg === undefined ? `usual SG ${gravity(glaze?.usual_sg ?? 0)}` : `SG ${gravity(layer.sg)}`;
  return html`<li class="layer ${open ? "open" : ""}">
    ${filling(drawn, "strata")}
    <div class="what">
      ${choose({ label: `Glaze of layer ${at + 1}`, name: `glaze-${at}`, value: layer.glaze, kind: "word", options: studio.glazes.map((one) => [one.id, one.name]), take: (id) => app.piece.changeLayer(at, `${glazeName(studio, id)} for ${name}`, (one) => ({ ...one, glaze: id })) })}
      <button class="detail" aria-expanded=${open} aria-controls="layer-${at}" @click=${() => app.piece.openLayer(at)}>${how}, ${zone(layer, tile)}, ${sg}</button>
    </div>
    <div class="count" role="group" aria-label="${name}: ${count} ${unitName(layer.how)}">
      <button class="step" aria-label=${less} @click=${() => app.piece.step(at, -1)}>−</button>
      <span class="many" aria-hidden="true"><b>${count}</b><small>${unitName(layer.how)}</small></span>
      <button class="step" aria-label="One more ${unit} of ${name}" @click=${() => app.piece.step(at, 1)}>+</button>
    </div>
    ${open ? details(app, studio, entry, layer, at, tile) : nothing}
  </li>`;
}

function details(app: App, studio: Studio, entry: Entry, layer: Layer, at: number, tile: boolean): TemplateResult {
  const name = glazeName(studio, layer.glaze);
  const key = (field: string): string => `${entry.id}-${at}-${field}`;
  const change = (label: string, make: (layer: Layer) => Layer): void => app.piece.changeLayer(at, `${label} of ${name}`, make);
  const { zone: lies } = layer;
  const without = (one: Layer, field: "sg" | "hand"): Layer => {
    const { [field]: _gone, ...rest } = one;
    return rest;
  };
  const method = (to: string): How => {
    const count = Math.max(1, units(layer.how));
    if (to === "dip") return { method: "dip", dips: Math.min(count, 2), seconds: 2 };
    if (to === "spray") return { method: "spray", passes: layer.how.method === "spray" ? count : count * 2 };
    return { method: "brush", coats: count };
  };
  return html`<div class="details" id="layer-${at}">
    ${oneOf({ label: "How it goes on", name: key("method"), value: layer.how.method, options: Object.entries(METHODS), take: (to) => change("another method", (one) => ({ ...one, how: method(to) })) })}
    ${layer.how.method === "dip"
      ? typed(app, { key: key("seconds"), label: "Seconds each", value: plain(layer.how.seconds), quantity: "seconds", take: (value) => value !== null && change("another dip time", (one) => (one.how.method === "dip" ? { ...one, how: { ...one.how, seconds: value } } : one)) })
      : nothing}
    ${typed(app, { key: key("sg"), label: "Slurry that day", value: layer.sg === undefined ? "" : gravity(layer.sg), placeholder: "not measured", quantity: "sg", take: (value) => change("another SG", (one) => (value === null ? without(one, "sg") : { ...one, sg: value })) })}
    ${choose({ label: "Hand", name: key("hand"), kind: "field", value: layer.hand ?? "", options: [["", "as the piece"], ...studio.hands.map((one): [string, string] => [one.id, one.name])], take: (id) => change("another hand", (one) => (id === "" ? without(one, "hand") : { ...one, hand: id })) })}
    ${typed(app, { key: key("from"), label: tile ? "From the upper edge" : "From the rim", value: lengthField(lies.from_mm), quantity: "length_mm", take: (value) => value !== null && change("another upper edge", (one) => ({ ...one, zone: { ...one.zone, from_mm: value, ...(value > 0 ? { over_rim: false, inside_mm: 0 } : {}) } })) })}
    ${typed(app, { key: key("to"), label: "Down to", value: lengthField(lies.to_mm), quantity: "length_mm", take: (value) => value !== null && change("another lower edge", (one) => ({ ...one, zone: { ...one.zone, to_mm: value } })) })}
    ${tile
      ? nothing
      : html`<label class="check"><input type="checkbox" .checked=${live(lies.over_rim)} @change=${(event: Event) => {
          const over = (event.target as HTMLInputElement).checked;
          change(over ? "over the rim" : "not over the rim", (one) => ({ ...one, zone: over ? { ...one.zone, from_mm: 0, over_rim: true } : { ...one.zone, over_rim: false, inside_mm: 0 } }));
        }}><span>Over the rim</span></label>
        ${lies.over_rim ? typed(app, { key: key("inside"), label: "Down the inside", value: lengthField(lies.inside_mm), quantity: "length_mm", take: (value) => change("another inside edge", (one) => ({ ...one, zone: { ...one.zone, inside_mm: value ?? 0 } })) }) : nothing}`}
    <div class="acts">
      <button class="link" ?disabled=${at === entry.layers.length - 1} @click=${() => app.piece.moveLayer(at, 1)}>Move up</button>
      <button class="link" ?disabled=${at === 0} @click=${() => app.piece.moveLayer(at, -1)}>Move down</button>
      <button class="link" ?disabled=${entry.layers.length === 1} @click=${() => app.piece.removeLayer(at)}>Remove</button>
    </div>
  </div>`;
}
