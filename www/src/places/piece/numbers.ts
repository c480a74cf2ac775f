// The numbers, small and quiet, each with its unit and its band.
// Takes the outcome; gives a table.

import { html, nothing, type TemplateResult } from "lit/html.js";
import type { Entry, PlanOutcome, Studio } from "../../core/types.ts";
import { band, chance, grams, gramsBare, length, lengthBare, percent, percentBare, thickness, thicknessBare } from "../../ui/format.ts";
import { bareFoot, glazeName, howMuch, isTile, unitName } from "../../ui/words.ts";

interface B90 { p05: number; p50: number; p95: number }

const thick = (value: B90): TemplateResult => html`<b>${thickness(value.p50)}</b> <small>${band(thicknessBare(value.p05), thicknessBare(value.p95))}</small>`;

export function numbers(studio: Studio, entry: Entry, outcome: PlanOutcome, phase: "quick" | "full"): TemplateResult {
  const top = entry.layers.at(-1);
  const tile = isTile(studio, entry);
  const { run_mm: run } = outcome;
  const foot = tile ? "end" : "foot";
  return html`<section class="numbers ${phase}" aria-label="Numbers" aria-busy=${phase === "quick"}>
    <h2 class="vh">Numbers</h2>
    <table class="thick">
      <thead><tr><th scope="col">Thickness</th><th scope="col">raw</th><th scope="col">fired</th></tr></thead>
      <tbody>
        ${entry.layers.map((layer, at) => {
          const one = outcome.layers[at];
          return one ? html`<tr><th scope="row">${glazeName(studio, layer.glaze)}<small>${howMuch(layer.how)}</small></th><td>${thick(one.raw_um)}</td><td>${thick(one.fired_um)}</td></tr>` : nothing;
        }).reverse()}
        ${entry.layers.length > 1 ? html`<tr class="sum"><th scope="row">Where they overlap</th><td></td><td>${thick(outcome.fired_total_um)}</td></tr>` : nothing}
      </tbody>
    </table>
    <dl class="facts">
      <div><dt>Longest drip</dt><dd><b>${length(run.p50)}</b> <small>${band(lengthBare(run.p10), lengthBare(run.p90))}</small></dd></div>
      <div><dt>Bare wall below</dt><dd><b>${length(outcome.bare_below_mm)}</b></dd></div>
      <div><dt>Moves at all</dt><dd><b>${chance(outcome.p_moves)}</b></dd></div>
      <div><dt>${tile ? "Runs off the end" : "Reaches the foot"}</dt><dd><b>${chance(outcome.p_reaches_foot)}</b></dd></div>
      <div><dt>Stands on the shelf</dt><dd><b>${chance(outcome.p_on_shelf)}</b></dd></div>
      ${outcome.rim_thinnest_um ? html`<div><dt>Rim, at its thinnest</dt><dd>${thick(outcome.rim_thinnest_um)}</dd></div>` : nothing}
      ${outcome.roll_um ? html`<div><dt>Roll at the overlap’s edge</dt><dd>${thick(outcome.roll_um)}</dd></div>` : nothing}
      ${outcome.melt_lost_g && outcome.melt_lost_g.p95 >= 0.1 ? html`<div><dt>Melt past the foot</dt><dd><b>${grams(outcome.melt_lost_g.p50)}</b> <small>${band(gramsBare(outcome.melt_lost_g.p05), gramsBare(outcome.melt_lost_g.p95))}</small></dd></div>` : nothing}
      ${outcome.pool_mm.p95 >= 0.5 ? html`<div><dt>Pool round the ${foot}</dt><dd><b>${length(outcome.pool_mm.p50)}</b> <small>${band(lengthBare(outcome.pool_mm.p05), lengthBare(outcome.pool_mm.p95))}</small></dd></div>` : nothing}
      ${outcome.relief_kept ? html`<div><dt>Relief kept</dt><dd><b>${percent(outcome.relief_kept.p50)}</b> <small>${band(percentBare(outcome.relief_kept.p10), percentBare(outcome.relief_kept.p90))}</small></dd></div>` : nothing}
      ${outcome.look ? html`<div><dt>Look right</dt><dd><b>${chance(outcome.look.right)}</b> <small>${outcome.look.too_little > outcome.look.too_much ? `too little ${chance(outcome.look.too_little)}` : `too much ${chance(outcome.look.too_much)}`}</small></dd></div>` : nothing}
      <div><dt>Leave bare above the ${foot}</dt><dd><b>${bareFoot(entry, outcome)}</b></dd></div>
      <div><dt>Most that still holds</dt><dd><b>${outcome.most_safe_coats === null ? "none" : top ? `${outcome.most_safe_coats}\u00a0${unitName(top.how, outcome.most_safe_coats)}` : ""}</b> ${top && outcome.most_safe_coats !== null ? html`<small>of ${glazeName(studio, top.glaze)}</small>` : nothing}</dd></div>
      <div><dt>Cookie</dt><dd><b>${outcome.cookie_mm === null ? "not needed" : length(outcome.cookie_mm)}</b>${outcome.cookie_mm === null ? nothing : html` <small>across</small>`}</dd></div>
    </dl>
    <p class="band-note">Small figures: nine in ten fall between them; of the longest drip and the relief, eight in ten.</p>
  </section>`;
}
