// The frame around every place: name, places, undo, what is kept, messages.
// Takes the app; gives the whole page.

import { html, nothing, type TemplateResult } from "lit/html.js";
import type { App } from "./app.ts";
import { lessonPlace } from "./places/lesson/lesson.ts";
import { log } from "./places/log/log.ts";
import { nextPlace } from "./places/next/next.ts";
import { piece } from "./places/piece/piece.ts";
import { studioPlace } from "./places/studio/studio.ts";
import type { Place, SaveState } from "./state.ts";
import { dialog } from "./ui/dialog.ts";
import { plural } from "./ui/format.ts";
import { counting } from "./ui/words.ts";

const PLACES: readonly (readonly [Place, string])[] = [["piece", "Piece"], ["lesson", "Lesson"], ["log", "Kiln log"], ["next", "Next tiles"], ["studio", "Studio"]];

/** Entries after which a file should be saved again. */
const NUDGE_FROM = 10;

export function frame(app: App, measure: (figure: Element | undefined) => void): TemplateResult {
  const { state } = app;
  const places: { [place in Place]: () => TemplateResult } = { piece: () => piece(app, measure), lesson: () => lessonPlace(app), log: () => log(app), next: () => nextPlace(app), studio: () => studioPlace(app) };
  const place = places[state.place]();
  const undo = state.undo.at(-1);
  const redo = state.redo.at(-1);
  return html`
    <a class="skip" href="#main" @click=${(event: Event) => {
      event.preventDefault();
      document.getElementById("main")?.focus();
    }}>To the content</a>
    <header class="top">
      <p class="name">Glazefall</p>
      <nav aria-label="Places">${PLACES.map(([key, label]) => html`<a href="#${key}" aria-current=${state.place === key ? "page" : nothing}>${label}</a>`)}</nav>
      <div class="state">
        <button class="link" ?disabled=${!undo} title=${undo ? `Take back ${undo.label}` : nothing} aria-label=${undo ? `Undo ${undo.label}` : "Undo"} @click=${() => void app.takeBack("undo")}>Undo</button>
        <button class="link" ?disabled=${!redo} title=${redo ? `Do again ${redo.label}` : nothing} aria-label=${redo ? `Redo ${redo.label}` : "Redo"} @click=${() => void app.takeBack("redo")}>Redo</button>
        <span class="kept ${state.save.kind}">${kept(state.save)}</span>
      </div>
    </header>
    <aside class="strips" aria-label="Messages">
    ${state.studio?.invented ? html`<p class="strip">A demonstration: this studio, its people and its glazes are invented. <button class="link" @click=${() => void app.startEmpty()}>Start an empty studio</button></p>` : nothing}
    ${state.role === "follower" ? html`<p class="strip">Another tab is writing in this studio; this one shows what it writes. <button class="link" @click=${() => app.keeper.takePen()}>Write here instead</button></p>` : nothing}
    ${state.save.kind === "refused" ? html`<p class="strip grave" role="alert">Changes are not being kept: ${state.save.why}. <button class="link" @click=${() => void app.keeper.saveFile()}>Save the studio’s file now</button></p>` : nothing}
    ${state.sinceFile >= NUDGE_FROM && state.current === null ? html`<p class="strip">${plural(state.sinceFile, "entry", "entries")} since a file was last saved. <button class="link" @click=${() => void app.keeper.saveFile()}>Save the studio’s file</button></p>` : nothing}
    ${state.learning !== null ? html`<p class="strip" role="status">${counting(state.learned)}Reading the ${state.learned ? "whole " : ""}log: <progress max="1" .value=${state.learning}></progress></p>` : nothing}
    ${state.notices.map((one) => html`<p class="strip ${one.grave ? "grave" : ""}" role=${one.grave ? "alert" : "status"}>${one.text}
      ${one.action ? html`<button class="link" @click=${() => {
        one.action?.run();
        app.putAway(one.id);
      }}>${one.action.label}</button>` : nothing}
      <button class="link" @click=${() => app.putAway(one.id)}>Put away</button></p>`)}
    </aside>
    <main id="main" tabindex="-1"><fieldset class="place ${state.studio?.settings.paper ?? "a4"} at-${state.place}" ?disabled=${state.role === "follower"}>${place}</fieldset></main>
    <p class="vh" aria-live="polite" aria-atomic="true">${state.said}</p>
    <footer class="foot"><p>Glazefall ${state.version}. Everything is computed here in the page; nothing leaves it.</p></footer>
    ${dialog(app)}`;
}

function kept(save: SaveState): string {
  switch (save.kind) {
    case "opening": return "";
    case "saving": return "Keeping";
    case "saved": return "Kept";
    case "refused": return "Not kept";
  }
}
