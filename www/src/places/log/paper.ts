// What is printed of a firing: the kiln sheet to fill by hand, and labels to lie with the pieces.
// Takes the open firing; gives a sheet that only the printer shows, black on white.

import { html, nothing, type TemplateResult } from "lit/html.js";
import type { App } from "../../app.ts";
import type { Entry, Studio } from "../../core/types.ts";
import { band, day, length, lengthBare } from "../../ui/format.ts";
import { handName, pieceName, schedule, stack, upper, verdictWord } from "../../ui/words.ts";

/** Most pieces on paper: ten sheets. */
const MOST = 200;

export function papers(app: App, studio: Studio): TemplateResult | typeof nothing {
  const desk = app.log;
  const firing = desk.current(studio);
  const entries = desk.pieces(studio, firing).slice(0, MOST);
  if (entries.length === 0) return nothing;
  const name = firing ? firing.name || firing.kiln : "In no firing";
  if (desk.paper === "labels") return html`<section class="paper" aria-hidden="true">${labels(studio, entries)}</section>`;
  let shelf: number | undefined = -1;
  return html`<section class="paper" aria-hidden="true">
    <header><h1>${name}</h1><p>${firing ? html`${firing.day ? day(firing.day) : "Day ____________"}, ${firing.kiln}. ${upper(schedule(firing.schedule))}.` : nothing}
      ${studio.name}${studio.invented ? " (invented)" : ""}.</p></header>
    <table class="kiln-sheet">
      <thead><tr><th>Code</th><th>Piece, layers wall first</th><th>Foreseen</th><th>Run, mm or word</th><th>Look</th><th>Texture</th></tr></thead>
      <tbody>${entries.map((entry) => {
        const head = entry.shelf === shelf ? nothing : html`<tr class="shelf"><th colspan="6">${entry.shelf ? `Shelf ${entry.shelf}${entry.shelf === 1 ? ", lowest" : ""}` : "No shelf yet"}</th></tr>`;
        shelf = entry.shelf;
        return html`${head}<tr>
          <td class="code">${entry.code}</td>
          <td>${pieceName(studio, entry)}${entry.hand ? `, ${handName(studio, entry.hand)}` : ""}<small>${stack(studio, entry)}</small></td>
          <td class="foreseen">${foreseen(app, entry)}</td>
          <td class="box"></td>
          <td class="ticks">☐ too little<br>☐ right<br>☐ too much</td>
          <td class="ticks">☐ crisp<br>☐ softened<br>☐ buried</td></tr>`;
      })}</tbody>
    </table>
    <p class="small">Words for the run: did not move, a little, some, a lot, ran off the end, reached the foot. Sharp drips: eye protection and gloves. Open when cool.</p>
  </section>`;
}

function foreseen(app: App, entry: Entry): TemplateResult | typeof nothing {
  const outcome = app.log.forecasts.get(entry.id)?.outcome;
  if (!outcome) return nothing;
  return html`${verdictWord(app.state.studio, entry, outcome.verdict)}<small>${length(outcome.run_mm.p50)} (${band(lengthBare(outcome.run_mm.p10), length(outcome.run_mm.p90))})${outcome.cookie_mm === null ? nothing : html`<br><b>cookie ${length(outcome.cookie_mm)}</b>`}</small>`;
}

/** Labels to cut apart: the code that is pencilled on the back, and what to do. */
export const labels = (studio: Studio, entries: readonly Entry[]): TemplateResult => html`<div class="labels">${entries.map((entry) => html`<div class="label-card"><b class="code">${entry.code}</b>
  <p><b>${pieceName(studio, entry)}</b>${entry.hand ? `, ${handName(studio, entry.hand)}` : ""}</p><p>${stack(studio, entry)}</p>${entry.shelf ? html`<p>Shelf ${entry.shelf}</p>` : nothing}</div>`)}</div>`;
