// Weigh-ins: a tile weighed before and after glazing says how much this hand lays down.
// Takes what is typed; shows at once what it comes to per coat and how that compares, as the core says.

import { html, nothing, type TemplateResult } from "lit/html.js";
import { live } from "lit/directives/live.js";
import type { App } from "../../app.ts";
import type { Studio, WeighIn } from "../../core/types.ts";
import { choose, oneOf } from "../../ui/controls.ts";
import { day, gravity, plain, plural } from "../../ui/format.ts";
import { glazeName, handName, howMuch, METHODS } from "../../ui/words.ts";
import type { Weighing } from "./desk.ts";

export function weighIns(app: App, studio: Studio): TemplateResult {
  const desk = app.log;
  const { weigh, weighed, wrong } = desk;
  const ready = studio.hands.length > 0 && studio.glazes.length > 0;
  // The first choice stands until another is made.
  if (ready && weigh.hand === "") weigh.hand = studio.hands[0]?.id ?? "";
  if (ready && weigh.glaze === "") weigh.glaze = studio.glazes[0]?.id ?? "";
  const field = (key: "area" | "before" | "after" | "sg" | "seconds", label: string, hint: string): TemplateResult => html`<div class="field"><label class="label" for="w-${key}">${label}</label>
    <input id="w-${key}" type="text" autocomplete="off" inputmode=${key === "before" || key === "after" ? "decimal" : "text"} .value=${live(weigh[key])} aria-describedby="w-${key}-note" aria-invalid=${wrong[key] ? "true" : nothing}
      @input=${(event: Event) => desk.typeWeigh({ [key]: (event.target as HTMLInputElement).value } as Partial<Weighing>)}>
    <small id="w-${key}-note" class=${wrong[key] ? "error" : "understood"}>${wrong[key] ?? hint}</small></div>`;
  const grams = studio.settings.units === "imperial" ? "ounces" : "grams";
  const tiles = studio.forms.flatMap((form) => (form.shape.family === "tile" ? [[`${plain(form.shape.width_mm)} x ${plain(form.shape.length_mm)} mm`, form.name] as const] : []));
  return html`<header><h1>Weigh-ins</h1>
      <p class="lead">Weigh a bare tile, glaze it all over one face, let it dry, weigh it again. It is the cheapest calibration there is, and the only one that tells thickness from fluidity.</p></header>
    ${ready ? html`<form class="weigh" @submit=${(event: Event) => {
      event.preventDefault();
      void desk.keepWeighed();
    }}>
      <div class="fields">
        ${choose({ label: "Hand", name: "weigh-hand", kind: "field", value: weigh.hand, options: studio.hands.map((one) => [one.id, one.name]), take: (hand) => desk.typeWeigh({ hand }) })}
        ${choose({ label: "Glaze", name: "weigh-glaze", kind: "field", value: weigh.glaze, options: studio.glazes.map((one) => [one.id, one.name]), take: (glaze) => desk.typeWeigh({ glaze }) })}
        ${oneOf({ label: "How it goes on", name: "weigh-method", value: weigh.method, options: Object.entries(METHODS), take: (method) => desk.typeWeigh({ method, count: method === "dip" ? 1 : weigh.count }) })}
        <div class="field"><span class="label" id="weigh-count">${weigh.method === "brush" ? "Coats" : weigh.method === "dip" ? "Dips" : "Passes"}</span>
          <div class="count" role="group" aria-labelledby="weigh-count"><button class="step" type="button" aria-label="One less" ?disabled=${weigh.count <= 1} @click=${() => desk.typeWeigh({ count: weigh.count - 1 })}>−</button>
          <span class="many"><b>${weigh.count}</b></span><button class="step" type="button" aria-label="One more" ?disabled=${weigh.count >= 20} @click=${() => desk.typeWeigh({ count: weigh.count + 1 })}>+</button></div></div>
        ${weigh.method === "dip" ? field("seconds", "Seconds each", "empty: 2 s") : nothing}
        ${field("area", "Area, or the tile’s sides", "50 x 100 mm, or 50 cm²")}
        ${field("sg", "Slurry that day", "SG 1.45; empty: not measured")}
        ${field("before", `Before, ${grams}`, "empty: “after” is the gain")}
        ${field("after", `After, dry, ${grams}`, "")}
      </div>
      ${tiles.length > 0 ? html`<div class="acts sizes"><span class="label">This studio’s tiles:</span>${tiles.map(([size, name]) => html`<button class="link" type="button" @click=${() => desk.typeWeigh({ area: size })}>${name}</button>`)}</div>` : nothing}
      <output class="weighed" aria-live="polite">${weighed ? weighed.says.map((line, i) => html`<p class=${i === 0 ? "first" : ""}>${line}</p>`) : html`<p class="quiet">Type area and grams: what it comes to per coat shows here.</p>`}</output>
      <div class="acts"><button class="act" type="submit" ?disabled=${!weighed}>Keep this weigh-in</button></div>
      <p class="caution">Dry glaze is dust that harms lungs: do not blow or brush it off a tile; wipe wet.</p>
    </form>` : html`<p class="lead">First put a hand and a glaze into <a href="#studio">the studio</a>.</p>`}
    ${desk.news && desk.weighing ? html`<div class="news" role="status"><p><b>${desk.news.code} is kept.</b> ${desk.news.lines === null ? "Reading the log." : desk.news.lines.join(" ") || "It changed little in what is known."}</p></div>` : nothing}
    ${studio.weigh_ins.length > 0 ? html`<section class="firing"><header><h2>${plural(studio.weigh_ins.length, "weigh-in")}</h2></header>
      <ol class="load">${[...studio.weigh_ins].reverse().slice(0, desk.shown).map((one) => line(app, studio, one))}</ol></section>` : nothing}`;
}

function line(app: App, studio: Studio, one: WeighIn): TemplateResult {
  const why = app.state.learned?.odd_entries.find((odd) => odd.id === one.id)?.why;
  return html`<li class="line-piece weigh-in ${why ? "is-odd" : ""}">
    <b class="code">${one.gained_g.toFixed(2)} g</b>
    <p class="piece-name"><b>${glazeName(studio, one.glaze)}</b> <span>${howMuch(one.how)} on ${plain(one.area_cm2)} cm²${one.sg === undefined ? "" : `, SG ${gravity(one.sg)}`}</span> <small>${handName(studio, one.hand)}, ${day(one.day)}</small></p>
    <p class="seen">${why ? html`<span class="odd">${why}</span>` : nothing}</p>
    <button class="link" aria-label="Remove the weigh-in of ${plain(one.gained_g)} g" @click=${() => void app.edit({ kind: "remove", list: "weigh_ins", id: one.id }, "removing a weigh-in")}>Remove</button></li>`;
}
