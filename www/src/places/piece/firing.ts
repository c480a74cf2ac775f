// The pot through its firing: before, after, and any moment between; the lens.
// Takes the state; gives controls that ask for another drawing.

import { html, nothing, type TemplateResult } from "lit/html.js";
import { live } from "lit/directives/live.js";
import type { App } from "../../app.ts";
import { oneOf } from "../../ui/controls.ts";
import { length } from "../../ui/format.ts";

/** The lens at a place of one's own, by its distance down the wall. */
const ANYWHERE = "elsewhere";
const SPOTS: readonly (readonly [string, string])[] = [["", "no lens"], ["rim", "rim"], ["overlap", "overlap"], ["texture", "texture"], ["edge", "lower edge"], ["foot", "foot"], [ANYWHERE, "elsewhere"]];

export function scrubber(app: App): TemplateResult | typeof nothing {
  const { answer, moment, lens } = app.state;
  if (!answer || answer.moments.length === 0) return nothing;
  const last = answer.moments.length - 1;
  const at = moment < 0 ? last : moment;
  const shown = answer.moments[at];
  const spots = SPOTS.filter(([key]) => key === "" || key === ANYWHERE || answer.spots.includes(key));
  const wall = wallMm(app);
  const down = placeOf(lens);
  const chosen = down === null ? lens : ANYWHERE;
  return html`<div class="through">
    <div class="scrub">
      <button class="link" aria-pressed=${at === 0} @click=${() => app.piece.look(0)}>Before</button>
      <input type="range" min="0" max=${last} step="1" .value=${live(String(at))}
        aria-label="Moment of the firing" aria-valuetext=${shown?.words ?? ""}
        @input=${(event: Event) => {
          const to = Number((event.target as HTMLInputElement).value);
          app.piece.look(to === last ? -1 : to);
        }}>
      <button class="link" aria-pressed=${at === last} @click=${() => app.piece.look(-1)}>After</button>
      <output class="moment">${shown?.label ?? ""}</output>
    </div>
    ${spots.length > 1 ? oneOf({ label: "Lens", name: "lens", value: chosen, options: spots, hidden: true, take: (spot) => app.piece.look(app.state.moment, spot === ANYWHERE ? String(Math.round(wall / 2)) : spot) }) : nothing}
    ${down === null ? nothing : html`<label class="scrub place"><span>Rim</span><input type="range" min="0" max=${Math.round(wall)} step="1" .value=${live(String(down))}
      aria-label="Lens, down the wall" aria-valuetext=${length(down)} @input=${(event: Event) => app.piece.look(app.state.moment, (event.target as HTMLInputElement).value)}><span>Foot</span><output class="moment">${length(down)} down</output></label>`}
  </div>`;
}

/** The wall from its upper edge to the foot, along it: glazed down to the lowest line, bare below. */
function wallMm(app: App): number {
  const lowest = Math.max(0, ...(app.plan()?.layers ?? []).map((layer) => layer.zone.to_mm));
  return lowest + (app.state.answer?.outcome.bare_below_mm ?? 0);
}

const placeOf = (lens: string): number | null => (/^\d+$/.test(lens) ? Number(lens) : null);

/** The lens is moved along the wall by dragging up and down on the drawing. */
export function dragLens(app: App, event: PointerEvent): void {
  const picture = event.currentTarget;
  const from = placeOf(app.state.lens);
  if (from === null || event.pointerType === "touch" || !(picture instanceof HTMLElement)) return;
  event.preventDefault();
  picture.setPointerCapture(event.pointerId);
  const wall = wallMm(app);
  const mmPerPx = wall / (0.8 * picture.clientHeight);
  const start = event.clientY;
  const move = (to: PointerEvent): void => {
    const place = Math.max(0, Math.min(wall, from + (to.clientY - start) * mmPerPx));
    app.piece.look(app.state.moment, String(Math.round(place)));
  };
  picture.addEventListener("pointermove", move);
  picture.addEventListener("pointerup", () => picture.removeEventListener("pointermove", move), { once: true });
}
