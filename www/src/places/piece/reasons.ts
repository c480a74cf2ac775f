// Why: what the answer hangs on, how it was computed, and what to mind before and after.
// Takes the outcome; gives three short texts.

import { html, nothing, svg, type TemplateResult } from "lit/html.js";
import type { Answer, State } from "../../state.ts";
import type { Entry, PlanOutcome, Studio } from "../../core/types.ts";
import { percent, plural } from "../../ui/format.ts";
import { ornament } from "../../ui/picture.ts";
import { MODELS, schedule } from "../../ui/words.ts";

export function hangsOn(outcome: PlanOutcome): TemplateResult | typeof nothing {
  const shown = outcome.hangs_on.filter((one) => one.share >= 0.01);
  if (shown.length === 0) return nothing;
  return html`<section class="hangs" aria-labelledby="hangs-title">
    <h2 id="hangs-title">What it hangs on</h2>
    <p class="lead">Where the spread of the run comes from.</p>
    <ol>${shown.map((one) => html`<li><span>${one.what}</span><b>${percent(one.share)}</b>
      <svg class="share" viewBox="0 0 100 4" preserveAspectRatio="none" aria-hidden="true">${svg`<rect class="whole" width="100" height="4"/><rect class="part" width=${100 * one.share} height="4"/>`}</svg></li>`)}</ol>
  </section>`;
}

export function how(state: State, studio: Studio, entry: Entry, { outcome, read }: Answer): TemplateResult {
  const firing = studio.firings.find((one) => one.id === (entry.firing ?? studio.settings.usual_firing));
  const { entries = 0, weigh_ins = 0, scale_known = false } = (read && state.learned) || {};
  const taught = [entries > 0 ? plural(entries, "logged piece") : "", weigh_ins > 0 ? plural(weigh_ins, "weigh-in") : ""].filter(Boolean).join(" and ");
  return html`<section class="how" aria-labelledby="how-title">
    <h2 id="how-title">How it was computed</h2>
    <p>By ${MODELS[outcome.answered_by]}, from ${taught === "" ? "what is usual for glazes of this kind: nothing has been learned from the log, so the spread is wide" : `what ${taught} ${entries + weigh_ins === 1 ? "has" : "have"} taught`}, in ${outcome.draws} draws.</p>
    <p>Firing: ${firing ? schedule(firing.schedule) : "cone 6 at 60 °C/h"}.</p>
    ${ornament(state.firingPicture, "curve")}<p class="vh">${state.firingPicture?.words ?? ""}</p>
    ${taught !== "" && !scale_known ? html`<p>Without a weigh-in, thickness and fluidity cannot be told apart: the run is known better than the thickness. One tile weighed before and after would settle it.</p>` : nothing}
    <p>The run is the longest of about ${plural(outcome.drips, "drip")} around the lowest glaze line.</p>
  </section>`;
}

export function cautions(): TemplateResult {
  return html`<section class="cautions" aria-labelledby="cautions-title">
    <h2 id="cautions-title">Mind</h2>
    <ul>
      <li>A prediction is no promise: use a cookie.</li>
      <li>Glaze drips and chipped cookies are razor sharp: eye protection and gloves.</li>
      <li>Dry glaze and grinding raise respirable crystalline silica: clean wet, never sweep dry, wear a respirator. Limits: 50 µg/m³ over 8 hours (OSHA 29 CFR 1910.1053), 0.1 mg/m³ (UK WEL).</li>
      <li>Hot kilns, ventilation, clearances and wiring: the maker's manual, local codes and licensed trades.</li>
      <li>A layered glaze is a new, untested glaze: not for food without a leach test. ASTM C738 and ISO 6486 test lead and cadmium only; other metals need their own analysis.</li>
    </ul>
  </section>`;
}
