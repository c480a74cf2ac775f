// The answer in a word, its shape, and the sentence that says what to do.
// Takes the outcome; gives the verdict. The shape is a drip against the foot's line: above it, at it, past it.

import { html, svg, type TemplateResult } from "lit/html.js";
import type { State } from "../../state.ts";
import type { PlanOutcome, Verdict } from "../../core/types.ts";
import { VERDICTS } from "../../ui/words.ts";

const DRIP: Record<Verdict, number> = { holds: 17, may_reach_the_foot: 27, will_run_off: 36 };

/** The verdict's shape at a size, px. */
export function shape(verdict: Verdict, size = 40): TemplateResult {
  const end = DRIP[verdict];
  return html`<svg class="verdict-shape" viewBox="0 0 40 40" width=${size} height=${size} aria-hidden="true">
    ${svg`<path class="drip" d="M4 2H36V6C31 6 28 8 27 12V${end - 7}A7 7 0 0 1 13 ${end - 7}V12C12 8 9 6 4 6Z"/>
    <path class="foot-line" d=${verdict === "holds" ? "M2 28H38" : "M2 28H10M30 28H38"}/>`}
  </svg>`;
}

export function verdict(state: State, outcome: PlanOutcome | null): TemplateResult {
  if (!outcome) {
    return html`<section class="verdict" aria-label="Verdict">
      ${state.refused ? html`<p class="word">No answer</p><p class="advice">${state.refused}</p>` : html`<p class="word quiet">Working it out.</p>`}
    </section>`;
  }
  const { verdict: word, advice } = outcome;
  return html`<section class="verdict ${word}" aria-label="Verdict">
    ${shape(word)}
    <div>
      <p class="word">${VERDICTS[word]}</p>
      <p class="advice">${advice}</p>
    </div>
  </section>`;
}
