// Piece, the front page: a plan, its pot, and what the kiln will make of it.
// Takes the app; gives the place.

import { html, nothing, type TemplateResult } from "lit/html.js";
import { ref } from "lit/directives/ref.js";
import type { App } from "../../app.ts";
import { ornament } from "../../ui/picture.ts";
import { chart } from "./chart.ts";
import { dragLens, scrubber } from "./firing.ts";
import { numbers } from "./numbers.ts";
import { pile } from "./pile.ts";
import { makePlan } from "./plan-forms.ts";
import { sheetFoot, sheetHead } from "./print.ts";
import { cautions, hangsOn, how } from "./reasons.ts";
import { heading, sentence } from "./setting.ts";
import { verdict } from "./verdict.ts";

export function piece(app: App, measure: (figure: Element | undefined) => void): TemplateResult {
  const { state } = app;
  const { studio } = state;
  const entry = app.plan();
  if (!studio) return html`<p class="opening">Opening the studio.</p>`;
  if (!entry) {
    return html`<div class="none"><h1>No plan yet</h1>
      <p>A plan is a pot or a tile with its layers of glaze. ${studio.glazes.length === 0 ? html`First put a glaze into <a href="#studio">the studio</a>.` : nothing}</p>
      <button class="act" ?disabled=${studio.glazes.length === 0} @click=${() => makePlan(app)}>New plan</button></div>`;
  }
  const answer = state.answer?.entry === entry.id ? state.answer : null;
  const pot = state.potOf === entry.id ? state.pot : null;
  return html`
    ${sheetHead(studio, entry, answer?.outcome ?? null)}
    <div class="piece">
      <header class="piece-head">${heading(app, entry)}${sentence(app, studio, entry)}</header>
      ${verdict(state, answer, entry)}
      <figure class="hero" ${ref(measure)}>
        <div class="drawing ${state.lens ? "lensed" : ""}" @pointerdown=${(event: PointerEvent) => dragLens(app, event)}>${ornament(pot, "pot")}</div>
        <figcaption class="vh">${pot?.words ?? ""} ${state.lens ? (state.lensPicture?.words ?? "") : ""}</figcaption>
        ${scrubber(app)}
        ${state.lens && state.lensPicture ? ornament(state.lensPicture, "lens") : nothing}
        ${answer ? html`<div class="twenty">${ornament(answer.twenty, "row")}<p class="vh">${answer.twenty.words}</p></div>` : nothing}
      </figure>
      ${pile(app, studio, entry)}
      ${answer ? numbers(studio, entry, answer.outcome, answer.phase) : nothing}
    </div>
    <div class="below">
      ${chart(app, studio, entry)}
      ${answer ? hangsOn(answer.outcome) : nothing}
      ${answer ? how(state, studio, entry, answer) : nothing}
      ${cautions()}
    </div>
    ${sheetFoot(state)}`;
}
