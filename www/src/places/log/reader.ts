// One piece as it comes out of the kiln: run by ruler or by word, look, texture, edge, note, photograph.
// Takes a plan or an entry; gives a form of large targets that keys alone can fill.

import { html, nothing, type TemplateResult } from "lit/html.js";
import { live } from "lit/directives/live.js";
import { ref } from "lit/directives/ref.js";
import type { App } from "../../app.ts";
import type { Entry, RunWord, Studio } from "../../core/types.ts";
import { choose } from "../../ui/controls.ts";
import { EDGES, isTile, LOOKS, RUN_WORDS, SHELVES, TEXTURES } from "../../ui/words.ts";
import { what } from "./log.ts";

/** The letter that says a word in the field for the run. */
const KEYS: Record<RunWord, string> = { did_not_move: "n", a_little: "l", some: "s", a_lot: "a", ran_off_the_end: "o", reached_the_foot: "f" };

export function reader(app: App, studio: Studio, entry: Entry): TemplateResult {
  const desk = app.log;
  const draft = desk.draft(studio, entry);
  const tile = isTile(studio, entry);
  const words = (Object.keys(RUN_WORDS) as RunWord[]).filter((word) => word !== (tile ? "reached_the_foot" : "ran_off_the_end"));
  const textured = Boolean(studio.forms.find((one) => one.id === entry.form)?.texture);
  const save = (): void => void desk.save(studio, entry);
  const focused = (element: Element | undefined): void => {
    if (!(element instanceof HTMLInputElement) || desk.focus !== entry.id) return;
    desk.focus = null;
    queueMicrotask(() => {
      element.focus();
      element.select();
      element.closest("li")?.scrollIntoView({ block: "nearest" });
    });
  };
  return html`<li class="reader"><form aria-label="Reading ${entry.code}" @submit=${(event: Event) => {
    event.preventDefault();
    save();
  }} @keydown=${(event: KeyboardEvent) => {
    const from = event.target as HTMLElement;
    if (event.key === "Escape") desk.leave(entry);
    else if (event.key === "Enter" && from instanceof HTMLInputElement && from.type === "radio") {
      event.preventDefault();
      save();
    }
  }}>
    <div class="line-piece">${what(studio, entry)}
      <a class="link" href="#piece" @click=${() => app.piece.choosePlan(entry.id)}>Layers, hand, zone</a></div>
    <div class="reads">
      ${chips({ label: "Run of the longest drip, in a word", name: "run", value: draft.word, options: words.map((word) => [word, RUN_WORDS[word], KEYS[word]]), take: (word) => desk.type(studio, entry, { word: word as RunWord, run: "" }) })}
      <label class="ruler"><span class="label">or by ruler, ${studio.settings.units === "imperial" ? "inches" : "mm"}</span>
        <input type="text" inputmode="decimal" autocomplete="off" name="run-mm" ${ref(focused)} .value=${live(draft.run)} aria-describedby="run-said"
          @keydown=${(event: KeyboardEvent) => {
            const word = words.find((one) => KEYS[one] === event.key);
            if (!word || event.ctrlKey || event.metaKey || draft.run !== "") return;
            event.preventDefault();
            desk.type(studio, entry, { word: draft.word === word ? "" : word });
          }}
          @input=${(event: Event) => {
            const { value } = event.target as HTMLInputElement;
            desk.type(studio, entry, { run: value, ...(value === "" ? {} : { word: "" }) });
            desk.understand(value);
          }}><small class="understood" id="run-said">${desk.understood}</small></label>
      ${chips({ label: "Look of the top glaze", name: "look", value: draft.look, options: Object.entries(LOOKS).map(([key, text], i) => [key, text, String(i + 1)]), take: (look) => desk.type(studio, entry, { look: look as typeof draft.look }) })}
      ${textured ? chips({ label: "Texture", name: "texture", value: draft.texture, options: Object.entries(TEXTURES).map(([key, text], i) => [key, text, String(i + 1)]), take: (texture) => desk.type(studio, entry, { texture: texture as typeof draft.texture }) }) : nothing}
      ${chips({ label: "Read at the edge", name: "edge", value: draft.edge, options: Object.entries(EDGES).filter(([key]) => !(tile && key === "to_the_foot")).map(([key, text], i) => [key, text, String(i + 1)]), take: (edge) => desk.type(studio, entry, { edge: edge as typeof draft.edge }) })}
      <div class="more">
        <label class="field"><span class="label">Note</span><input type="text" autocomplete="off" .value=${live(draft.note)} @input=${(event: Event) => desk.type(studio, entry, { note: (event.target as HTMLInputElement).value })}></label>
        ${choose({ label: "Shelf", name: "shelf-read", kind: "field", value: draft.shelf, options: SHELVES, take: (shelf) => desk.type(studio, entry, { shelf }) })}
        <label class="act plain file">${draft.photo ? "Another photograph" : "Photograph"}<input type="file" class="vh" accept="image/*" capture="environment" @change=${(event: Event) => {
          const chosen = (event.target as HTMLInputElement).files?.[0];
          if (chosen) void desk.photo(studio, entry, chosen);
        }}></label>
        ${draft.photo ? html`<img class="photo" alt="The photograph just taken" src=${draft.photo}>` : nothing}
      </div>
    </div>
    ${desk.error ? html`<p class="error" role="alert">${desk.error}</p>` : nothing}
    <div class="acts">
      <button class="act" type="submit">Keep, and the next</button>
      <button class="link" type="button" @click=${() => desk.leave(entry)}>Put away</button>
      ${desk.drafts.has(entry.id) ? html`<button class="link" type="button" @click=${() => desk.drop(entry)}>Drop what was typed</button>` : nothing}
      <button class="link" type="button" @click=${() => void desk.another(entry)}>Another like this one</button>
      <small class="by-keys">By keys: a number or a letter for the run, Tab, a digit for each mark, Enter. Escape puts it away with what was typed.</small>
    </div>
  </form></li>`;
}

/** Choices as large chips; a digit picks one, the chosen one again takes it back. */
function chips(group: { label: string; name: string; value: string; options: [string, string, string][]; take: (value: string) => void }): TemplateResult {
  const { label, name, value, options, take } = group;
  const digits = options.every(([, , key]) => /\d/.test(key));
  return html`<fieldset class="chips" @keydown=${(event: KeyboardEvent) => {
    const chosen = digits ? options.find(([, , key]) => key === event.key) : undefined;
    if (!chosen) return;
    event.preventDefault();
    take(chosen[0]);
    const at = options.indexOf(chosen);
    const radios = (event.currentTarget as HTMLElement).querySelectorAll("input");
    radios[at]?.focus();
  }}><legend class="label">${label}</legend>
    <div class="options">${options.map(([key, text, letter]) => html`<label><input type="radio" name=${name} value=${key} .checked=${live(key === value)} @change=${() => take(key)} @click=${() => {
      if (key === value && name !== "edge") take("");
    }}><span><kbd aria-hidden="true">${letter}</kbd>${text}</span></label>`)}</div>
  </fieldset>`;
}
