// Controls used all over the page.
// Takes a value and what to do with another; gives a lit template. Every control has its words and a large target.

import { html, nothing, type TemplateResult } from "lit/html.js";
import { live } from "lit/directives/live.js";
import type { App } from "../app.ts";
import type { Quantity } from "../core/types.ts";

export interface Choice {
  label: string;
  name: string;
  value: string;
  options: readonly (readonly [string, string])[];
  /** `title`: the page's heading; `word`: within a sentence; `field`: under its label. */
  kind: "title" | "word" | "field";
  take: (value: string) => void;
}

export function choose(choice: Choice): TemplateResult {
  const { label, name, value, options, kind, take } = choice;
  return html`<label class="choose ${kind}"><span class=${kind === "field" ? "label" : "vh"}>${label}</span><select
      name=${name}
      .value=${live(value)}
      @change=${(event: Event) => take((event.target as HTMLSelectElement).value)}
    >${options.map(([key, text]) => html`<option value=${key} ?selected=${key === value}>${text}</option>`)}</select></label>`;
}

/** A number or quantity as people type it; what was understood stands beneath. */
export function typed(app: App, field: {
  key: string;
  label: string;
  value: string;
  quantity: Quantity;
  placeholder?: string;
  take: (value: number | null) => void;
}): TemplateResult {
  const { key, label, value, quantity, placeholder, take } = field;
  const understood = app.state.understood.get(key);
  return html`<label class="typed"><span class="label">${label}</span>
    <input type="text" inputmode="text" autocomplete="off" spellcheck="false" name=${key}
      .value=${value} placeholder=${placeholder ?? nothing}
      aria-describedby=${understood ? `${key}-understood` : nothing}
      @input=${(event: Event) => app.understand(key, (event.target as HTMLInputElement).value, quantity)}
      @change=${(event: Event) => app.takeText(key, (event.target as HTMLInputElement).value, quantity, take)}>
    ${understood ? html`<small class="understood" id="${key}-understood">${understood}</small>` : nothing}
  </label>`;
}

/** A few choices side by side. */
export function oneOf(group: {
  label: string;
  name: string;
  value: string;
  options: readonly (readonly [string, string])[];
  hidden?: boolean;
  take: (value: string) => void;
}): TemplateResult {
  const { label, name, value, options, hidden, take } = group;
  return html`<fieldset class="one-of"><legend class=${hidden ? "vh" : "label"}>${label}</legend>
    <div class="options">${options.map(([key, text]) => html`<label><input type="radio" name=${name} value=${key} .checked=${live(key === value)} @change=${() => take(key)}><span>${text}</span></label>`)}</div>
  </fieldset>`;
}
