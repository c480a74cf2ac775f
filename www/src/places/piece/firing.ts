// The pot through its firing: before, after, and any moment between; the lens.
// Takes the state; gives controls that ask for another drawing.

import { html, nothing, type TemplateResult } from "lit/html.js";
import { live } from "lit/directives/live.js";
import type { App } from "../../app.ts";
import { oneOf } from "../../ui/controls.ts";

const SPOTS: readonly (readonly [string, string])[] = [["", "no lens"], ["rim", "rim"], ["overlap", "overlap"], ["texture", "texture"], ["edge", "lower edge"], ["foot", "foot"]];

export function scrubber(app: App): TemplateResult | typeof nothing {
  const { answer, moment, lens } = app.state;
  if (!answer || answer.moments.length === 0) return nothing;
  const last = answer.moments.length - 1;
  const at = moment < 0 ? last : moment;
  const shown = answer.moments[at];
  const spots = SPOTS.filter(([key]) => key === "" || answer.spots.includes(key));
  return html`<div class="through">
    <div class="scrub">
      <button class="link" aria-pressed=${at === 0} @click=${() => app.look(0)}>Before</button>
      <input type="range" min="0" max=${last} step="1" .value=${live(String(at))}
        aria-label="Moment of the firing" aria-valuetext=${shown?.words ?? ""}
        @input=${(event: Event) => {
          const to = Number((event.target as HTMLInputElement).value);
          app.look(to === last ? -1 : to);
        }}>
      <button class="link" aria-pressed=${at === last} @click=${() => app.look(-1)}>After</button>
      <output class="moment">${shown?.label ?? ""}</output>
    </div>
    ${spots.length > 1 ? oneOf({ label: "Lens", name: "lens", value: lens, options: spots, hidden: true, take: (spot) => app.look(app.state.moment, spot) }) : nothing}
  </div>`;
}
