// A form over the page, in the browser's own dialog: Escape closes it, focus stays in it and goes back where it was.
// Takes the dialog of the state; gives the template.

import { html, nothing, type TemplateResult } from "lit/html.js";
import { live } from "lit/directives/live.js";
import { ref } from "lit/directives/ref.js";
import type { App } from "../app.ts";
import type { Field, FormDialog } from "../state.ts";
import { wordsOf } from "../app.ts";

const opened = (element: Element | undefined): void => {
  if (element instanceof HTMLDialogElement && !element.open) queueMicrotask(() => {
    if (element.isConnected && !element.open) element.showModal();
  });
};

export function dialog(app: App): TemplateResult | typeof nothing {
  const form = app.state.dialog;
  if (!form) return nothing;
  const submit = async (event: Event): Promise<void> => {
    event.preventDefault();
    const error = await form.save({ ...form.values });
    if (error === null) app.closeDialog();
    else {
      form.error = error;
      app.redraw();
    }
  };
  return html`<dialog ${ref(opened)} aria-labelledby="dialog-title" @close=${() => app.leaveDialog()}>
    <form @submit=${(event: Event) => void submit(event)} novalidate>
      <h2 id="dialog-title">${form.title}</h2>
      <div class="fields">${form.fields.filter((field) => !field.when || field.when.is.includes(form.values[field.when.key] ?? "")).map((field) => control(app, form, field))}</div>
      ${form.error ? html`<p class="error" role="alert">${form.error}</p>` : nothing}
      <div class="acts">
        <button class="act" type="submit">${form.submit}</button>
        <button class="link" type="button" @click=${() => app.leaveDialog()}>Leave as it was</button>
        ${form.remove ? html`<button class="link remove" type="button" @click=${() => {
          form.remove?.();
          app.closeDialog();
        }}>Remove</button>` : nothing}
      </div>
    </form>
  </dialog>`;
}

function control(app: App, form: FormDialog, field: Field): TemplateResult {
  const value = form.values[field.key] ?? "";
  const set = (event: Event): void => {
    form.values[field.key] = (event.target as HTMLInputElement).value;
    if (field.type === "number") understand(app, form, field);
    else if (field.type === "choice") app.redraw();
  };
  const error = form.errors[field.key];
  const note = error ?? form.understood[field.key] ?? field.hint;
  const id = `f-${field.key}`;
  const described = note ? `${id}-note` : nothing;
  const input =
    field.type === "area" ? html`<textarea id=${id} rows="2" .value=${live(value)} @input=${set}></textarea>`
    : field.type === "choice" ? html`<select id=${id} @change=${set} .value=${live(value)}>${field.options.map(([key, text]) => html`<option value=${key} ?selected=${key === value}>${text}</option>`)}</select>`
    : html`<input id=${id} type=${field.type === "date" ? "date" : field.type === "colour" ? "color" : "text"} autocomplete="off" spellcheck="false" .value=${live(value)} aria-describedby=${described} aria-invalid=${error ? "true" : nothing} @input=${set}>`;
  return html`<div class="field ${field.wide ? "wide" : ""}"><label class="label" for=${id}>${field.label}</label>${input}${note ? html`<small id="${id}-note" class=${error ? "error" : "understood"}>${note}</small>` : nothing}</div>`;
}

function understand(app: App, form: FormDialog, field: Extract<Field, { type: "number" }>): void {
  const text = form.values[field.key] ?? "";
  delete form.errors[field.key];
  if (text.trim() === "") {
    delete form.understood[field.key];
    app.redraw();
    return;
  }
  app.read(text, field.quantity).then(
    (reading) => {
      if (form.values[field.key] === text) form.understood[field.key] = reading.understood;
      app.redraw();
    },
    (error: unknown) => {
      if (form.values[field.key] === text) form.understood[field.key] = wordsOf(error, "Not understood.");
      app.redraw();
    },
  );
}
