// Drawings of the core on the page: set as they come, with their words for those who listen.
// Takes a Picture; gives a lit template. The core escapes every name; the Content-Security-Policy forbids scripts anyway.

import { html, nothing, type TemplateResult } from "lit/html.js";
import { unsafeHTML } from "lit/directives/unsafe-html.js";
import type { Picture } from "../core/protocol.ts";

export function picture(drawn: Picture | null | undefined, kind: string): TemplateResult | typeof nothing {
  if (!drawn) return nothing;
  return html`<div class="picture ${kind}">${unsafeHTML(drawn.svg)}</div>`;
}

/** A swatch that fills its place: scaled evenly, its bottom kept. */
export function filling(drawn: Picture | null | undefined, kind: string): TemplateResult {
  return html`<div class="picture ${kind}" aria-hidden="true">${drawn ? unsafeHTML(drawn.svg.replace("<svg ", '<svg preserveAspectRatio="xMidYMax slice" ')) : nothing}</div>`;
}

/** A drawing whose meaning stands in the text beside it. */
export function ornament(drawn: Picture | null | undefined, kind: string): TemplateResult | typeof nothing {
  if (!drawn) return nothing;
  return html`<div class="picture ${kind}" aria-hidden="true">${unsafeHTML(drawn.svg)}</div>`;
}
