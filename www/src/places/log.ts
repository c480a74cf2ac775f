// The kiln log: firings with their tiles and pieces, newest first.
// Takes the studio; gives lists, and a form to write down what came out of the kiln.

import { html, nothing, type TemplateResult } from "lit/html.js";
import type { App } from "../app.ts";
import type { Entry, Firing, Studio } from "../core/types.ts";
import { readEntry } from "./forms.ts";
import { day, plural } from "../ui/format.ts";
import { EDGES, formName, handName, LOOKS, run, schedule, stack, TEXTURES } from "../ui/words.ts";

export function log(app: App): TemplateResult {
  const { studio } = app.state;
  if (!studio) return html`<p class="opening">Opening the studio.</p>`;
  const firings = [...studio.firings].sort((a, b) => (b.day ?? "").localeCompare(a.day ?? ""));
  const known = new Set(studio.firings.map((one) => one.id));
  const groups: [Firing | null, Entry[]][] = firings.map((firing) => [firing, studio.entries.filter((entry) => entry.firing === firing.id)]);
  const loose = studio.entries.filter((entry) => !entry.firing || !known.has(entry.firing));
  if (loose.length > 0) groups.push([null, loose]);
  // A long log is shown from its newest end.
  let left = 0;
  let room = app.state.logShown;
  const shown: [Firing | null, Entry[]][] = [];
  for (const [firing, entries] of groups) {
    const some = entries.slice(0, Math.max(0, room));
    room -= entries.length;
    left += entries.length - some.length;
    if (some.length > 0) shown.push([firing, some]);
  }
  const read = studio.entries.filter((entry) => entry.outcome).length;
  const odd = new Map((app.state.learned?.odd_entries ?? []).map((one) => [one.id, one.why]));
  return html`<div class="list-place">
    <header><h1>Kiln log</h1>
      <p class="lead">${read === 0 ? "Nothing logged yet. The spread is wide: one tile of each glaze would halve it." : `${plural(read, "piece")} read, ${plural(studio.entries.length - read, "plan")} to come${studio.weigh_ins.length > 0 ? `, ${plural(studio.weigh_ins.length, "weigh-in")}` : ""}.`}
      ${app.state.learned?.calibration ?? ""}</p></header>
    ${shown.map(([firing, entries]) => group(app, studio, firing, entries, odd))}
    ${left > 0 ? html`<button class="act" @click=${() => {
      app.state.logShown += 500;
      app.redraw();
    }}>Show ${plural(Math.min(left, 500), "earlier entry", "earlier entries")}</button>` : nothing}
  </div>`;
}

function group(app: App, studio: Studio, firing: Firing | null, entries: Entry[], odd: Map<string, string>): TemplateResult {
  return html`<section class="firing">
    <header><h2>${firing ? firing.name || firing.kiln : "In no firing"}</h2>
      ${firing ? html`<p>${firing.day ? day(firing.day) : "no date"}, ${firing.kiln}${firing.state === "planned" ? ", planned" : ""}. ${cap(schedule(firing.schedule))}.</p>` : nothing}</header>
    <div class="scroll"><table class="entries">
      <thead><tr><th scope="col">Code</th><th scope="col">Piece</th><th scope="col">Layers, wall first</th><th scope="col">Hand</th><th scope="col" class="num">Run</th><th scope="col">Edge</th><th scope="col">Look</th><th scope="col">Texture</th><th scope="col"><span class="vh">Do</span></th></tr></thead>
      <tbody>${entries.map((entry) => {
        const { outcome } = entry;
        const why = entry.kept ? undefined : odd.get(entry.id);
        return html`<tr class=${outcome ? "" : "planned"}>
          <td class="code">${entry.code}</td>
          <td>${entry.name || formName(studio, entry.form)}</td>
          <td>${stack(studio, entry)}${entry.note ? html`<small>${entry.note}</small>` : nothing}${why ? html`<small class="odd">${why} <button class="link" @click=${() => void app.edit({ kind: "put", list: "entries", record: { ...entry, kept: true, changed_ms: Date.now() } }, `keeping ${entry.code}`)}>Keep as it is</button></small>` : nothing}</td>
          <td>${handName(studio, entry.hand)}</td>
          <td class="num">${outcome ? run(outcome.run) : "planned"}</td>
          <td>${outcome ? EDGES[outcome.edge] : ""}</td>
          <td>${outcome?.look ? LOOKS[outcome.look] : ""}</td>
          <td>${outcome?.texture ? TEXTURES[outcome.texture] : ""}</td>
          <td class="do"><button class="link" @click=${() => readEntry(app, studio, entry)} aria-label="${outcome ? "Change" : "Read"} ${entry.code}">${outcome ? "Change" : "Read"}</button></td>
        </tr>`;
      })}</tbody>
    </table></div>
  </section>`;
}

const cap = (text: string): string => text.charAt(0).toUpperCase() + text.slice(1);
