// Lesson: two stacks on one pot, one scrubber, the fronts against time, the square law in numbers, a page to print.
// Takes the app; gives the place. What is tried here is not kept.

import { html, nothing, type TemplateResult } from "lit/html.js";
import { live } from "lit/directives/live.js";
import type { App } from "../../app.ts";
import type { Picture } from "../../core/protocol.ts";
import type { Lesson } from "../../core/types.ts";
import { choose } from "../../ui/controls.ts";
import { length, temperature, thickness, times } from "../../ui/format.ts";
import { ornament } from "../../ui/picture.ts";
import { room } from "../../ui/room.ts";
import { formName, glazeName, pieceName, unitName, units } from "../../ui/words.ts";

const SIDES = ["First stack", "Second stack"] as const;

export function lessonPlace(app: App): TemplateResult {
  const { studio } = app.state;
  if (!studio) return html`<p class="opening">Opening the studio.</p>`;
  const desk = app.lesson;
  const plans = app.plans();
  const plan = studio.entries.find((one) => one.id === desk.plan) ?? app.plan() ?? plans[0];
  if (!plan) return html`<div class="none"><h1>Lesson</h1><p>A lesson compares two stacks on one pot. First make a plan on <a href="#piece">Piece</a>.</p></div>`;
  if (desk.plan !== plan.id) queueMicrotask(() => desk.begin(plan));
  else desk.refresh(`${plan.changed_ms} ${app.state.learnedTimes}`);
  const others = studio.entries.filter((one) => !one.outcome && one.id !== plan.id).slice(0, 100);
  const { lesson, looked } = desk;
  const last = (lesson?.moments.length ?? 1) - 1;
  const at = desk.moment < 0 ? last : desk.moment;
  const now = lesson?.moments[at];
  return html`<div class="list-place lesson">
    <header><h1 class="vh">Lesson</h1>
      ${choose({ label: "Pot", name: "lesson-plan", kind: "title", value: plan.id, options: (plans.includes(plan) ? plans : [plan, ...plans]).map((one) => [one.id, `${one.name || one.code}`]), take: (id) => {
        const entry = studio.entries.find((one) => one.id === id);
        if (entry) desk.begin(entry);
      } })}
      <div class="acts"><button class="link" @click=${() => print()}>Print this page</button></div>
      <p class="lead">Two stacks on one ${formName(studio, plan.form).toLowerCase()}, in one firing. What is tried here changes no plan.</p></header>
    <div class="two">${([0, 1] as const).map((side) => html`<section aria-label=${SIDES[side]}><h2>${SIDES[side]}</h2>
      <ol class="small-pile" reversed>${desk.stacks[side].map((layer, i) => html`<li><span class="glaze-name">${glazeName(studio, layer.glaze)}</span>
        <div class="count" role="group" aria-label="${glazeName(studio, layer.glaze)}: ${units(layer.how)} ${unitName(layer.how)}">
          <button class="step" aria-label="One ${unitName(layer.how, 1)} less of ${glazeName(studio, layer.glaze)}, ${SIDES[side].toLowerCase()}" ?disabled=${units(layer.how) <= 1} @click=${() => desk.step(side, i, -1)}>−</button>
          <span class="many" aria-hidden="true"><b>${units(layer.how)}</b><small>${unitName(layer.how)}</small></span>
          <button class="step" aria-label="One more ${unitName(layer.how, 1)} of ${glazeName(studio, layer.glaze)}, ${SIDES[side].toLowerCase()}" @click=${() => desk.step(side, i, 1)}>+</button></div></li>`).reverse()}</ol>
      ${side === 1 ? html`<div class="acts presets"><button class="link" @click=${() => desk.twice()}>Twice the first</button>
        ${plan.layers.length > 1 ? html`<button class="link" @click=${() => desk.turned()}>The first turned over</button>` : nothing}
        ${others.length > 0 ? choose({ label: "The stack of another plan", name: "lesson-other", kind: "word", value: "", options: [["", "as another plan"], ...others.map((one): [string, string] => [one.id, pieceName(studio, one)])], take: (id) => {
          const entry = studio.entries.find((one) => one.id === id);
          if (entry) desk.of(entry);
        } }) : nothing}</div>` : nothing}</section>`)}</div>
    ${desk.refused ? html`<p class="error" role="alert">${desk.refused}</p>` : nothing}
    <div class="pictured" ${room((width) => desk.box(Math.min(width, 1100)))}>
      ${lesson ? html`<p class="square">${lesson.words}</p>` : nothing}
      ${looked ? html`<div class="two pots">${looked.pots.map((pot, i) => html`<figure>${ornament(pot, "pot")}<figcaption><span class="vh">${pot.words}</span>${SIDES[i]}: <b>${now ? length(now.run_mm[i === 0 ? 0 : 1]) : ""}</b> below its line</figcaption></figure>`)}</div>` : nothing}
      ${lesson ? html`<div class="scrub">
        <button class="link" aria-pressed=${at === 0} @click=${() => desk.look(0)}>Before</button>
        <input type="range" min="0" max=${last} step="1" .value=${live(String(at))} aria-label="Moment of the firing" aria-valuetext=${now ? `${temperature(now.temperature_c)}, ${now.rising ? "rising" : "falling"}, first ${length(now.run_mm[0])}, second ${length(now.run_mm[1])}` : ""}
          @input=${(event: Event) => desk.look(Number((event.target as HTMLInputElement).value))}>
        <button class="link" aria-pressed=${at === last} @click=${() => desk.look(-1)}>After</button>
        <output class="moment">${now ? `${temperature(now.temperature_c)}, ${now.rising ? "rising" : "falling"}` : ""}</output></div>` : nothing}
      ${looked ? html`<figure class="fronts">${ornament(looked.fronts, "fronts")}<figcaption class="vh">${looked.fronts.words}</figcaption></figure>` : nothing}
    </div>
    ${lesson ? numbers(lesson, looked?.square) : nothing}
    <section class="firing words"><header><h2>Why</h2></header>
      <p>A glaze in the kiln is a thick liquid that slides down the wall under its own weight, held by the clay it lies on. Its front moves at a speed that grows with the square of its thickness: the whole layer shears, and a layer twice as thick weighs twice as much and slides over twice the depth. So one coat too many is not a little worse.</p>
      <p>It slows down again when the upper edge has drained and the film thins, and an edge on bare clay holds a little back: so runs are less than the square law alone would have it, and thin coats do not move at all.</p></section>
  </div>`;
}

function numbers(lesson: Lesson, square: Picture | undefined): TemplateResult {
  const [first, second] = lesson.sides;
  if (!first || !second) return html``;
  const row = (title: string, one: string, other: string, ratio: string): TemplateResult => html`<tr><th scope="row">${title}</th><td>${one}</td><td>${other}</td><td><b>${ratio}</b></td></tr>`;
  return html`<section class="firing in-numbers"><header><h2>In numbers</h2></header>
    <table class="square-law"><thead><tr><td></td><th scope="col">first</th><th scope="col">second</th><th scope="col">second over first</th></tr></thead><tbody>
      ${row("Fired thickness", thickness(first.fired_um), thickness(second.fired_um), times(lesson.thickness_ratio))}
      ${row("Thickness squared", "", "", `${times(lesson.thickness_ratio).slice(0, -2)} × ${times(lesson.thickness_ratio).slice(0, -2)}`)}
      ${row("Fluidity in this firing", "", "", times(lesson.fluidity_ratio))}
      ${row("Speed of the front", "", "", times(lesson.speed_ratio, 1))}
      ${row("Run if nothing held or thinned it", length(first.free_run_mm), length(second.free_run_mm), "")}
      ${row("Run of the longest drip", length(first.run_mm.p50), length(second.run_mm.p50), "")}
      ${row("Bare wall below", length(first.bare_below_mm), length(second.bare_below_mm), "")}
    </tbody></table>${square ? html`<figure>${ornament(square, "squares")}<figcaption class="vh">${square.words}</figcaption></figure>` : nothing}</section>`;
}
