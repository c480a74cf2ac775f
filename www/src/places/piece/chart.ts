// The coat chart: coats of the under glaze by coats of the over glaze, each cell with its chances; a cell can be taken.
// Takes the cells as they come; gives a table of buttons.

import { html, nothing, type TemplateResult } from "lit/html.js";
import type { App } from "../../app.ts";
import type { ChartCell, Entry, Studio, Verdict } from "../../core/types.ts";
import { chance, chanceShort, length, percent } from "../../ui/format.ts";
import { shape } from "./verdict.ts";
import { glazeName, unitName, units, withUnits } from "../../ui/words.ts";

const SHORT: Record<Verdict, string> = { holds: "holds", may_reach_the_foot: "may reach", will_run_off: "runs off" };

/** The chance of holding; one that only rounding brings to the studio's line says that it is below it. */
const holding = ({ verdict, p_holds }: ChartCell, { settings }: Studio): string => {
  const line = percent(1 - settings.holds_up_to);
  return verdict !== "holds" && percent(p_holds) === line ? `under ${line}` : chance(p_holds);
};

export function chart(app: App, studio: Studio, entry: Entry): TemplateResult | typeof nothing {
  const { chart: cells } = app.state;
  const top = entry.layers.at(-1);
  const under = entry.layers.at(-2);
  if (!cells || cells.entry !== entry.id || cells.cells.length === 0 || !top) return nothing;
  const overs = [...new Set(cells.cells.map((cell) => cell.over))].sort((a, b) => a - b);
  const unders = [...new Set(cells.cells.map((cell) => cell.under))].sort((a, b) => b - a);
  const find = (u: number, o: number): ChartCell | undefined => cells.cells.find((cell) => cell.under === u && cell.over === o);
  const topName = glazeName(studio, top.glaze);
  const underName = under ? glazeName(studio, under.glaze) : "";
  const { answer } = app.state;
  const full = answer?.entry === entry.id && answer.phase === "full" ? answer.outcome : null;
  const take = (cell: ChartCell): void => {
    const last = entry.layers.length - 1;
    app.piece.change(`${cell.under ? `${cell.under} and ` : ""}${cell.over} from the chart`, (one) => ({
      ...one,
      layers: one.layers.map((layer, i) => (i === last ? { ...layer, how: withUnits(layer.how, cell.over) } : i === last - 1 ? { ...layer, how: withUnits(layer.how, cell.under) } : layer)),
    }));
  };
  return html`<section class="chart" aria-labelledby="chart-title" aria-busy=${!cells.done}>
    <h2 id="chart-title">Coat chart</h2>
    <p class="lead">${under ? html`${underName} under ${topName}, by how many go on.` : html`${topName}, by how many go on.`} Choose a cell to take it.</p>
    <div class="scroll"><table>
      <thead>
        <tr>${under ? html`<td></td>` : nothing}${overs.map((o) => html`<th scope="col"><b>${o}</b> ${unitName(top.how, o)}</th>`)}</tr>
      </thead>
      <tbody>${unders.map((u) => html`<tr>
        ${under ? html`<th scope="row"><b>${u}</b> ${unitName(under.how, u)}</th>` : nothing}
        ${overs.map((o) => {
          const found = find(u, o);
          if (!found) return html`<td><span class="cell wait"></span></td>`;
          const here = o === units(top.how) && (!under || u === units(under.how));
          // The plan's own cell says what the full answer says beside it: the chart is drawn from fewer solves.
          const cell = here && full ? { ...found, verdict: full.verdict, p_holds: 1 - full.p_reaches_foot, run_p50_mm: full.run_mm.p50 } : found;
          const extras = [
            cell.p_relief_over_half === null || cell.p_relief_over_half === undefined ? null : `relief ${chanceShort(cell.p_relief_over_half)}`,
            cell.p_look_right === null || cell.p_look_right === undefined ? null : `look ${chanceShort(cell.p_look_right)}`,
          ].filter((text): text is string => text !== null);
          return html`<td><button class="cell ${cell.verdict}" aria-pressed=${here} @click=${() => take(cell)}>
            <span class="vh">${under ? `${u} under, ` : ""}${o} over: </span>
            <span class="say">${shape(cell.verdict, 16)}<span class="wide">${SHORT[cell.verdict]}</span></span>
            <b>${length(cell.run_p50_mm)}</b>
            <small><span class="wide">holds </span>${holding(cell, studio)}</small>
            ${extras.map((text) => html`<small class="wide">${text}</small>`)}
          </button></td>`;
        })}
      </tr>`)}</tbody>
    </table></div>
    <p class="axes">Across: ${topName}, the last on.${under ? html` Upwards: ${underName}, under it.` : nothing}</p>
  </section>`;
}
