// Next tiles: which few tiles would settle a question, what each would tell, and plans, labels and a sheet made of them.
// Takes the app; gives the place.

import { html, nothing, svg, type TemplateResult } from "lit/html.js";
import type { App } from "../../app.ts";
import type { Entry, NextTile, Studio } from "../../core/types.ts";
import { choose } from "../../ui/controls.ts";
import { chance, percent, plural } from "../../ui/format.ts";
import { firingName, pieceName, stack } from "../../ui/words.ts";
import { labels } from "../log/paper.ts";

export function nextPlace(app: App): TemplateResult {
  const { studio } = app.state;
  if (!studio) return html`<p class="opening">Opening the studio.</p>`;
  const desk = app.next;
  const plans = app.plans().filter((one) => !desk.made.includes(one.id));
  const plan = plans.find((one) => one.id === desk.plan) ?? (app.plan()?.outcome ? null : app.plan()) ?? plans[0];
  if (!plan) return html`<div class="none"><h1>Next tiles</h1><p>The question comes from a plan: how much of its last glaze stays above the foot? First make one on <a href="#piece">Piece</a>.</p></div>`;
  desk.refresh(plan, `${plan.id} ${plan.changed_ms} ${app.state.learnedTimes}`);
  const { answer } = desk;
  const made = desk.made.flatMap((id) => studio.entries.filter((one) => one.id === id));
  const chosen = (answer?.tiles ?? []).filter((_, i) => !desk.without.has(i));
  return html`<div class="list-place next">
    <header><h1 class="vh">Next tiles</h1>
      ${choose({ label: "Plan that is asked about", name: "next-plan", kind: "title", value: plan.id, options: plans.map((one) => [one.id, one.name || one.code]), take: (id) => desk.ask(id) })}
      <p class="lead">Of all the tiles that could be glazed, the few that would tell most about this plan.</p></header>
    <div class="ask"><p class="question">${answer?.question ?? ""}</p>
      <div class="count" role="group" aria-label="Room for ${plural(desk.budget, "tile")}">
        <button class="step" aria-label="One tile less" ?disabled=${desk.budget <= 1} @click=${() => desk.ask(plan.id, desk.budget - 1)}>−</button>
        <span class="many" aria-hidden="true"><b>${desk.budget}</b><small>${desk.budget === 1 ? "tile" : "tiles"}</small></span>
        <button class="step" aria-label="One tile more" ?disabled=${desk.budget >= 24} @click=${() => desk.ask(plan.id, desk.budget + 1)}>+</button></div></div>
    ${desk.refused ? html`<p class="error" role="alert">${desk.refused}</p>` : nothing}
    ${desk.working && !answer ? html`<p class="quiet" role="status">Working it out.</p>` : nothing}
    ${answer ? ranking(app, answer.tiles, desk.working) : nothing}
    ${answer && answer.tiles.length > 0 ? html`
      ${made.length > 0 ? html`<div class="news" role="status"><p><b>${plural(made.length, "plan")} made:</b> ${made.map((one) => one.code).join(", ")}. ${desk.firing ? html`They wait in <a href="#log/${desk.firing}">their firing</a>.` : html`They wait in <a href="#log">the kiln log</a>.`}</p>
          <div class="acts"><button class="act" @click=${() => print()}>Print the sheet and labels</button></div></div>`
        : html`<div class="fields">
          ${choose({ label: "Glazed by", name: "next-hand", kind: "field", value: desk.hand, options: [["", "anyone"], ...studio.hands.map((one): [string, string] => [one.id, one.name])], take: (hand) => {
            desk.hand = hand;
            app.redraw();
          } })}
          ${choose({ label: "Into the firing", name: "next-firing", kind: "field", value: desk.firing, options: [["", "none yet"], ...app.log.firings(studio).filter((one) => one.state !== "opened").map((one): [string, string] => [one.id, firingName(one)])], take: (firing) => {
            desk.firing = firing;
            app.redraw();
          } })}</div>
        <div class="acts"><button class="act" ?disabled=${chosen.length === 0} @click=${() => void desk.make()}>Make ${plural(chosen.length, "plan")}</button>
          <button class="link" @click=${() => print()}>Print the list</button></div>`}
      <p class="quiet note">A tile stands upright, glazed over its upper part by brush. “Can be read”: it moves, and stays on the tile. One firing holds them all, so its own luck is shared.</p>` : nothing}
  </div>
  ${answer ? paper(studio, answer.question, answer.tiles.filter((_, i) => !desk.without.has(i)), made) : nothing}`;
}

function ranking(app: App, tiles: NextTile[], working: boolean): TemplateResult {
  if (tiles.length === 0) return html`<p>No tile would tell anything more about this question.</p>`;
  return html`<ol class="tiles" aria-busy=${working}>${tiles.map((tile, i) => html`<li class=${app.next.without.has(i) ? "out" : ""}>
    <label class="check"><input type="checkbox" .checked=${!app.next.without.has(i)} @change=${(event: Event) => app.next.leaveOut(i, !(event.target as HTMLInputElement).checked)}><span><b>${tile.what}</b></span></label>
    <p>Tells ${tile.tells}. <small>Can be read: ${chance(tile.p_readable)}.</small></p>
    <p class="settles"><b>${percent(tile.settles)}</b> settled, ${percent(tile.left)} still open
      <svg class="share" viewBox="0 0 100 4" preserveAspectRatio="none" aria-hidden="true">${svg`<rect class="whole" width="100" height="4"/><rect class="part" x=${Math.max(0, 100 * (1 - tile.left - tile.settles))} width=${100 * tile.settles} height="4"/>`}</svg></p></li>`)}</ol>`;
}

function paper(studio: Studio, question: string, tiles: NextTile[], made: Entry[]): TemplateResult {
  return html`<section class="paper" aria-hidden="true"><header><h1>${question}</h1><p>${studio.name}. Tiles worth glazing next, the most telling first.</p></header>
    <table class="kiln-sheet"><thead><tr><th>Code</th><th>Tile, layers wall first</th><th>Tells</th><th>Run, mm or word</th><th>Look</th></tr></thead><tbody>
    ${tiles.map((tile, i) => {
      const entry = made[i];
      return html`<tr><td class="code">${entry?.code ?? i + 1}</td><td>${entry ? `${pieceName(studio, entry)}` : tile.what}${entry ? html`<small>${stack(studio, entry)}</small>` : nothing}</td><td>${tile.tells}<small>${percent(tile.settles)} settled</small></td><td class="box"></td><td class="ticks">☐ too little<br>☐ right<br>☐ too much</td></tr>`;
    })}</tbody></table>${made.length > 0 ? labels(studio, made) : nothing}</section>`;
}
