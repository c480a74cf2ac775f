// Keeping: the studio's file out and in, tables out and in, another copy merged, photographs counted.
// Takes the app; gives the section, and shows what a table was understood as before anything of it is taken.

import { html, nothing, type TemplateResult } from "lit/html.js";
import { live } from "lit/directives/live.js";
import type { App } from "../../app.ts";
import type { Conflict, ConflictKind, Studio } from "../../core/types.ts";
import { plural } from "../../ui/format.ts";
import { photoBytes } from "../log/photo.ts";

/** Problems of a table that are listed at once. */
const LISTED = 50;

const KINDS: Record<ConflictKind, string> = {
  changed: "changed in both", removed_but_used: "removed in one, still used in the other: kept", code_twice: "two pieces had one code: the other’s got a new one", head: "name or choices differ: those here stay",
};

export function keeping(app: App, studio: Studio): TemplateResult {
  const { save, persisted, fileSavedMs, sinceFile } = app.state;
  const desk = app.studio;
  return html`<section class="list keep"><header><h2>Keeping</h2></header>
    <p>${save.kind === "refused" ? html`<b>Not kept in this browser:</b> ${save.why}. Save the file below; it is the only copy.` : html`Every change is kept in this browser as it is made. The file is the copy that you can carry.`}
      ${fileSavedMs === null ? "No file saved from here yet." : `Last file saved ${new Date(fileSavedMs).toLocaleString("en-GB", { dateStyle: "long", timeStyle: "short" })}${sinceFile > 0 ? `, ${plural(sinceFile, "entry", "entries")} ago` : ""}.`}</p>
    ${persisted === false && save.kind !== "refused" ? html`<p>The browser may clear it when space runs short. <button class="link" @click=${() => app.keeper.askToPersist()}>Ask the browser to keep it</button></p>` : nothing}
    <div class="acts">
      <button class="act" @click=${() => void app.keeper.saveFile()}>Save the studio’s file</button>
      ${chosen("Open a studio’s file", ".json,application/json", (file) => void app.openFile(file))}
      ${"showSaveFilePicker" in window ? html`<button class="link" @click=${() => void app.keeper.chooseFile()}>${app.state.current === null ? "Keep a file current" : `${app.state.current} is kept current`}</button>` : nothing}
      <button class="link" @click=${() => void app.startEmpty()}>Start an empty studio</button>
      ${studio.invented ? nothing : html`<button class="link" @click=${() => void app.openDemo()}>Open the demonstration</button>`}
    </div>
    ${studio.photos.length > 0 ? html`<p>${plural(studio.photos.length, "photograph")}, ${(photoBytes(studio.photos) / 1e6).toFixed(1)} of 30 MB.
      <label class="check"><input type="checkbox" .checked=${live(desk.photos)} @change=${(event: Event) => {
        desk.photos = (event.target as HTMLInputElement).checked;
        app.redraw();
      }}><span>Put them into the file too</span></label></p>` : nothing}
    <div class="acts">
      ${chosen("Merge another copy", ".json,application/json", (file) => void desk.merge(file))}
      ${chosen("Take in a table (CSV)", ".csv,.tsv,.txt,text/csv", (file) => void desk.tableIn(file))}
      <button class="link" @click=${() => void desk.tableOut("log")}>Log as CSV</button>
      <button class="link" @click=${() => void desk.tableOut("weigh_ins")}>Weigh-ins as CSV</button>
      <label class="check"><input type="checkbox" .checked=${live(desk.comma)} @change=${(event: Event) => {
        desk.comma = (event.target as HTMLInputElement).checked;
        app.redraw();
      }}><span>decimal commas</span></label>
    </div>
    <p class="quiet">A studio’s file or a table can also be dropped anywhere on the page. A copy from a tablet is merged piece by piece; the newer of two wins.</p>
    ${table(app)}${merged(app)}
  </section>`;
}

function chosen(label: string, accept: string, take: (file: File) => void): TemplateResult {
  return html`<label class="act plain file">${label}<input type="file" class="vh" accept=${accept} @change=${(event: Event) => {
    const input = event.target as HTMLInputElement;
    const file = input.files?.[0];
    input.value = "";
    if (file) take(file);
  }}></label>`;
}

function table(app: App): TemplateResult | typeof nothing {
  const { table: waiting } = app.studio;
  if (!waiting) return nothing;
  const { read, name, which } = waiting;
  const { problems } = read;
  const nothingNew = read.new + read.changed === 0;
  return html`<div class="take-in" role="region" aria-label="What was understood">
    <h3>${name}: ${which === "log" ? "the log" : "weigh-ins"}</h3>
    <p>${plural(read.new, "line is", "lines are")} new, ${read.changed} changed, ${read.same} as they are here already. Nothing is taken yet.</p>
    <div class="scroll"><table class="columns"><thead><tr><th scope="col">Header</th><th scope="col">Taken for</th></tr></thead><tbody>${read.columns.map((column) => html`<tr><td>${column.header || "(no header)"}</td><td>${column.taken_for ?? html`<span class="quiet">left out</span>`}</td></tr>`)}</tbody></table></div>
    ${problems.length > 0 ? html`<p class="error">${plural(problems.length, "thing")} not understood; mend ${problems.length === 1 ? "it" : "them"} in the table and choose it again. All lines are taken or none.</p>
      <ul class="problems">${problems.slice(0, LISTED).map((one) => html`<li><b>Line ${one.line}${one.column ? `, ${one.column}` : ""}:</b> ${one.message.problem} ${one.message.remedy}</li>`)}</ul>
      ${problems.length > LISTED ? html`<p>And ${problems.length - LISTED} more.</p>` : nothing}` : nothing}
    <div class="acts"><button class="act" ?disabled=${problems.length > 0 || nothingNew} @click=${() => void app.studio.takeTable()}>Take it in</button>
      <button class="link" @click=${() => app.studio.leaveTable()}>Leave it</button></div>
  </div>`;
}

function merged(app: App): TemplateResult | typeof nothing {
  const { merged: last } = app.studio;
  if (!last || last.done.conflicts.length === 0) return nothing;
  return html`<div class="take-in" role="region" aria-label="Conflicts">
    <h3>${last.name}: where the two copies differed</h3>
    <ul class="problems">${last.done.conflicts.slice(0, LISTED).map((one) => html`<li><b>${nameOf(one)}</b> ${KINDS[one.kind]}${one.kind === "changed" ? `; the ${one.theirs_taken ? "other" : "copy here"} is newer and was taken` : ""}.
      ${differences(one)}
      ${one.list && (one.theirs_taken ? one.ours : one.theirs) !== null ? html`<button class="link" @click=${() => app.studio.other(one)}>Take the ${one.theirs_taken ? "one that was here" : "other"} instead</button>` : nothing}</li>`)}</ul>
  </div>`;
}

const parsed = (json: string | null): { [key: string]: unknown } => (json === null ? {} : (JSON.parse(json) as { [key: string]: unknown }));

function nameOf(conflict: Conflict): string {
  const { code, name } = parsed(conflict.ours ?? conflict.theirs);
  return [code, name].filter(Boolean).join(" ") || conflict.id || "The studio";
}

/** Keys in which two copies differ, both values beside each other. */
function differences(conflict: Conflict): TemplateResult {
  const [ours, theirs] = [parsed(conflict.ours), parsed(conflict.theirs)];
  const keys = [...new Set([...Object.keys(ours), ...Object.keys(theirs)])].filter((key) => key !== "changed_ms" && JSON.stringify(ours[key]) !== JSON.stringify(theirs[key]));
  const said = (value: unknown): string => (value === undefined ? "nothing" : JSON.stringify(value).replace(/[{}"[\]]/g, "").replace(/,/g, ", ").replace(/_/g, " "));
  return html`${keys.slice(0, 6).map((key) => html`<small class="differs">${key.replace(/_/g, " ")}: here ${said(ours[key])}; there ${said(theirs[key])}</small>`)}`;
}
