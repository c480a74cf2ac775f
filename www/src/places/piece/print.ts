// The printed plan: what to do first, a code large enough to read with clay on one's glasses, then the pot and its numbers.
// Takes the plan and its outcome; gives a sheet that only the printer shows.

import { html, nothing, type TemplateResult } from "lit/html.js";
import type { State } from "../../state.ts";
import type { Entry, PlanOutcome, Studio } from "../../core/types.ts";
import { band, chance, gravity, length, lengthBare, plain, thickness } from "../../ui/format.ts";
import { bareFoot, firingName, formName, glazeName, handName, howMuch, isTile, verdictWord, zone } from "../../ui/words.ts";

export function sheetHead(studio: Studio, entry: Entry, outcome: PlanOutcome | null): TemplateResult {
  const tile = isTile(studio, entry);
  const firing = studio.firings.find((one) => one.id === (entry.firing ?? studio.settings.usual_firing));
  return html`<section class="sheet" aria-hidden="true">
    <header>
      <p class="code">${entry.code || entry.name}</p>
      <div>
        <p class="sheet-title">${entry.name}</p>
        <p>${formName(studio, entry.form)}, glazed by ${handName(studio, entry.hand)}${firing ? html`, fired in ${firingName(firing)}` : nothing}${entry.shelf ? html`, shelf ${entry.shelf}` : nothing}</p>
        <p>${studio.name}${studio.invented ? " (invented)" : ""}</p>
      </div>
    </header>
    <h2>Do</h2>
    <ol>${entry.layers.map((layer) => {
      const glaze = studio.glazes.find((one) => one.id === layer.glaze);
      return html`<li><b>${howMuch(layer.how)} ${glazeName(studio, layer.glaze)}</b>, ${zone(layer, tile)}, SG ${gravity(layer.sg ?? glaze?.usual_sg ?? 0)}${layer.how.method === "dip" ? `, ${plain(layer.how.seconds)} s each` : ""}${layer.hand ? html`, ${handName(studio, layer.hand)}` : nothing}</li>`;
    })}</ol>
    ${outcome
      ? html`<p class="sheet-verdict"><b>${verdictWord(studio, entry, outcome.verdict)}.</b> ${outcome.advice}</p>
        <p>Longest drip ${length(outcome.run_mm.p50)} (${band(lengthBare(outcome.run_mm.p10), length(outcome.run_mm.p90))} in eight of ten); ${tile ? "runs off the end" : "reaches the foot"}: ${chance(outcome.p_reaches_foot)}; leave ${bareFoot(entry, outcome)} bare; cookie ${outcome.cookie_mm === null ? "not needed" : length(outcome.cookie_mm)}; fired glaze ${thickness(outcome.fired_total_um.p50)} where it lies thickest.</p>`
      : nothing}
  </section>`;
}

export const sheetFoot = (_state: State): TemplateResult =>
  html`<p class="sheet-foot" aria-hidden="true">After the firing: run ________ mm <span>Look: too little ☐ right ☐ too much ☐</span> <span>Texture: crisp ☐ softened ☐ buried ☐</span></p>`;
