// The answer in a word, its shape, and the sentence that says what to do.
// Takes the outcome; gives the verdict. The shape is a drip against the foot's line: above it, at it, past it.

import { html, svg, type TemplateResult } from "lit/html.js";
import type { Answer, State } from "../../state.ts";
import type { Entry, Verdict } from "../../core/types.ts";
import { length, plural } from "../../ui/format.ts";
import { counting, verdictWord } from "../../ui/words.ts";

const DRIP: Record<Verdict, number> = { holds: 17, may_reach_the_foot: 27, will_run_off: 36 };

/** The verdict's shape at a size, px. */
export function shape(verdict: Verdict, size = 40): TemplateResult {
  const end = DRIP[verdict];
  return html`<svg class="verdict-shape" viewBox="0 0 40 40" width=${size} height=${size} aria-hidden="true">
    ${svg`<path class="drip" d="M4 2H36V6C31 6 28 8 27 12V${end - 7}A7 7 0 0 1 13 ${end - 7}V12C12 8 9 6 4 6Z"/>
    <path class="foot-line" d=${verdict === "holds" ? "M2 28H38" : "M2 28H10M30 28H38"}/>`}
  </svg>`;
}

/** A run that the log moved by so much, of itself and in mm, is told beside the one that was shown before. */
const MOVED = 0.1;
const MOVED_MM = 0.5;

/** What the answer rests on: nothing that was shown changes without a word. */
function rests({ learned, unread, studio }: State, answer: Answer, entry: Entry): string {
  const book = "what is usual for glazes of these kinds";
  if (!answer.read) return studio?.entries.some((one) => one.outcome) || studio?.weigh_ins.length ? `Rests on ${book}. Your log is being read and will change it.` : `Rests on ${book}: nothing is logged yet.`;
  const { entries = 0, weigh_ins = 0 } = learned ?? {};
  const taught = [entries > 0 ? plural(entries, "logged piece") : "", weigh_ins > 0 ? plural(weigh_ins, "weigh-in") : ""].filter(Boolean).join(" and ");
  if (taught === "") return `Rests on ${book}: nothing is logged yet.`;
  const run = answer.outcome.run_mm.p50;
  const before = unread && unread.entry === entry.id && unread.changed_ms === entry.changed_ms ? unread.run_mm : run;
  const moved = Math.abs(run - before);
  return `Rests on ${taught}${moved >= MOVED_MM && moved >= MOVED * Math.max(run, before) ? `; before the log was read, the run was put at ${length(before)}` : ""}. ${counting(learned)}`;
}

export function verdict(state: State, answer: Answer | null, entry: Entry): TemplateResult {
  if (!answer) {
    return html`<section class="verdict" aria-label="Verdict">
      ${state.refused ? html`<p class="word">No answer</p><p class="advice">${state.refused}</p>` : html`<p class="word quiet">Working it out.</p>`}
    </section>`;
  }
  const { verdict: word, advice } = answer.outcome;
  return html`<section class="verdict ${word}" aria-label="Verdict">
    ${shape(word)}
    <div>
      <p class="word">${verdictWord(state.studio, entry, word)}</p>
      <p class="advice">${advice}</p>
      <p class="rests">${rests(state, answer, entry)}</p>
    </div>
  </section>`;
}
