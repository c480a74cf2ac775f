// The kiln log: a firing is opened and its pieces are read one after another, in the order of the shelves.
// Takes the studio; gives the open firing, what stands in it, and the tiles that were weighed.

import { html, nothing, type TemplateResult } from "lit/html.js";
import { ref } from "lit/directives/ref.js";
import type { App } from "../../app.ts";
import type { Entry, Studio } from "../../core/types.ts";
import { choose } from "../../ui/controls.ts";
import { band, day, length, lengthBare, plural } from "../../ui/format.ts";
import { EDGES, firingName, handName, LOOKS, pieceName, run, schedule, stack, TEXTURES, upper, verdictWord } from "../../ui/words.ts";
import { shape } from "../piece/verdict.ts";
import { editFiring } from "../studio/forms.ts";
import { reader } from "./reader.ts";
import { papers } from "./paper.ts";
import { weighIns } from "./weigh.ts";

export function log(app: App): TemplateResult {
  const { studio } = app.state;
  if (!studio) return html`<p class="opening">Opening the studio.</p>`;
  const desk = app.log;
  return html`<div class="list-place log">
    <nav class="within" aria-label="In the kiln log">
      <a href="#log" aria-current=${desk.weighing ? nothing : "true"}>Firings</a>
      <a href="#log/weigh-ins" aria-current=${desk.weighing ? "true" : nothing}>Weigh-ins</a>
    </nav>
    ${desk.weighing ? weighIns(app, studio) : firing(app, studio)}
  </div>
  ${desk.weighing ? nothing : papers(app, studio)}`;
}

function firing(app: App, studio: Studio): TemplateResult {
  const desk = app.log;
  const open = desk.current(studio);
  const entries = desk.pieces(studio, open);
  const loose = open ? desk.pieces(studio, null).filter((entry) => !entry.outcome) : [];
  const read = entries.filter((entry) => entry.outcome).length;
  const shown = desk.inSight(entries);
  const odd = new Map((app.state.learned?.odd_entries ?? []).map((one) => [one.id, one.why]));
  desk.forecast(shown);
  const none = studio.firings.length === 0;
  return html`
    <header>
      <h1 class="vh">Kiln log</h1>
      ${none ? html`<h2 class="title">No firing yet</h2>` : choose({
        label: "Firing", name: "firing", kind: "title", value: open?.id ?? "",
        options: [...desk.firings(studio).map((one): [string, string] => [one.id, firingName(one)]), ["", "in no firing"]],
        take: (id) => { location.hash = `log/${id || "none"}`; },
      })}
      <div class="acts">
        <button class="link" @click=${() => editFiring(app, null, (id) => { location.hash = `log/${id}`; })}>New firing</button>
        ${open ? html`<button class="link" @click=${() => editFiring(app, open)}>Change</button>` : nothing}
        ${entries.length > 0 ? html`<button class="link" @click=${() => desk.print("sheet")}>Print the kiln sheet</button>
        <button class="link" @click=${() => desk.print("labels")}>Print labels</button>` : nothing}
      </div>
      ${open ? html`<p class="lead">${open.day ? day(open.day) : "No day yet"}, ${open.kiln}. ${upper(schedule(open.schedule))}. ${entries.length === 0 ? "Nothing is in it." : `${read} of ${plural(entries.length, "piece")} read.`}</p>`
        : html`<p class="lead">${none ? "A firing holds what went into one kiln: its plans are read here when it is opened." : "Pieces that were put into no firing."}</p>`}
    </header>
    ${news(app)}
    ${app.state.learned?.entries === 0 && read === 0 ? html`<p class="lead">Nothing logged yet. The spread is wide: one tile of each glaze would halve it.</p>` : nothing}
    <ol class="load">${shown.map((entry) => (desk.reading === entry.id ? reader(app, studio, entry) : row(app, studio, entry, odd.get(entry.id))))}</ol>
    ${entries.length > shown.length ? html`<button class="act" @click=${() => {
      desk.shown += 200;
      app.redraw();
    }}>Show ${Math.min(entries.length - shown.length, 200)} more of ${entries.length}</button>` : nothing}
    ${loose.length > 0 && open && open.state !== "opened" ? html`<section class="firing"><header><h2>Plans in no firing</h2></header>
      <ol class="load">${loose.slice(0, 50).map((entry) => html`<li class="line-piece">${what(studio, entry)}<p></p>
        <button class="act plain" @click=${() => desk.take(entry, open)}>Put into this firing</button></li>`)}</ol></section>` : nothing}
    ${entries.some((entry) => !entry.outcome) || loose.length > 0 ? html`<p class="caution">Open a kiln when it is cool. Drips and chipped cookies are razor sharp: eye protection and gloves.</p>` : nothing}`;
}

/** What the last saved line changed in what is known. */
function news(app: App): TemplateResult | typeof nothing {
  const told = app.log.news;
  if (!told) return nothing;
  return html`<div class="news" role="status"><p><b>${told.code} is kept.</b> ${told.lines === null ? "Reading the log." : told.lines.length === 0 ? "It changed little in what is known." : "What it changed:"}</p>
    ${told.lines && told.lines.length > 0 ? html`<ul>${told.lines.map((line) => html`<li>${line}</li>`)}</ul>` : nothing}</div>`;
}

/** A piece as the row of a list begins. */
export const what = (studio: Studio, entry: Entry): TemplateResult => html`<b class="code">${entry.code}</b>
  <p class="piece-name"><b>${pieceName(studio, entry)}</b> <span>${stack(studio, entry)}</span>
  <small>${[entry.hand ? handName(studio, entry.hand) : "", entry.shelf ? `shelf ${entry.shelf}` : ""].filter(Boolean).join(", ")}</small></p>`;

function row(app: App, studio: Studio, entry: Entry, why: string | undefined): TemplateResult {
  const desk = app.log;
  const { outcome } = entry;
  const odd = entry.kept ? undefined : why;
  const begun = desk.drafts.has(entry.id);
  const back = (element: Element | undefined): void => {
    if (!(element instanceof HTMLElement) || desk.back !== entry.id) return;
    desk.back = null;
    queueMicrotask(() => element.focus());
  };
  const photo = studio.photos.find((one) => one.id === entry.photo);
  return html`<li class="line-piece ${outcome ? "read" : "to-read"} ${odd ? "is-odd" : ""}">
    ${what(studio, entry)}
    ${outcome
      ? html`<p class="seen"><b>${run(outcome.run)}</b><span>${["", outcome.edge === "onto_glaze" ? EDGES[outcome.edge] : "", outcome.look ? `look ${LOOKS[outcome.look]}` : "", outcome.texture ? `texture ${TEXTURES[outcome.texture]}` : ""].filter((text, i) => i === 0 || text !== "").join(", ")}</span>
        ${entry.note ? html`<small>${entry.note}</small>` : nothing}</p>`
      : expected(app, entry)}
    <button ${ref(back)} class=${outcome && !begun ? "link" : "act plain"} aria-label="${begun ? "Go on with" : outcome ? "Change" : "Read"} ${entry.code}" @click=${() => desk.read(entry.id)}>${begun ? "Go on" : outcome ? "Change" : "Read"}</button>
    ${begun ? html`<p class="begun">Begun, not kept yet. <button class="link" @click=${() => desk.drop(entry)}>Drop what was typed</button></p>` : nothing}
    ${photo ? html`<img class="photo" alt="Photograph of ${entry.code}" src="data:${photo.media_type};base64,${photo.data_base64}">` : nothing}
    ${odd ? html`<p class="odd">${odd} <button class="link" @click=${() => desk.read(entry.id)}>Mend it</button> <button class="link" @click=${() => void app.edit({ kind: "put", list: "entries", record: { ...entry, kept: true, changed_ms: Date.now() } }, `keeping ${entry.code}`)}>Keep as it is</button></p>` : nothing}
  </li>`;
}

function expected(app: App, entry: Entry): TemplateResult {
  const outcome = app.log.forecasts.get(entry.id)?.outcome;
  if (!outcome) return html`<p class="seen"></p>`;
  const { p10, p50, p90 } = outcome.run_mm;
  return html`<p class="seen ${outcome.verdict}">${shape(outcome.verdict, 16)} ${verdictWord(app.state.studio, entry, outcome.verdict)}, ${p50 < 0.5 ? "most likely stays where it is" : html`about ${length(p50)}`} <small>${band(lengthBare(p10), length(p90))}${outcome.cookie_mm === null ? "" : `; cookie ${length(outcome.cookie_mm)} across`}</small></p>`;
}
