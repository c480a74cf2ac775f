// What is known: each glaze, hand and firing with its spread and the entries behind it, how far the chances can be trusted, odd entries.
// Takes what was learned; gives pictures of the core with plain words.

import { html, nothing, type TemplateResult } from "lit/html.js";
import type { App } from "../../app.ts";
import type { Picture } from "../../core/protocol.ts";
import type { Studio } from "../../core/types.ts";
import { plural } from "../../ui/format.ts";
import { ornament } from "../../ui/picture.ts";
import { room } from "../../ui/room.ts";
import { counting, firingName, pieceName } from "../../ui/words.ts";

export function known(app: App, studio: Studio): TemplateResult {
  const { learned } = app.state;
  const { known: drawn } = app.studio;
  app.studio.refresh();
  const drawing = (title: string, picture: Picture | undefined, words: string): TemplateResult | typeof nothing => (picture ? html`<figure class="known-figure"><h3>${title}</h3><p class="lead">${words}</p>${ornament(picture, "known-picture")}<figcaption class="vh">${picture.words}</figcaption></figure>` : nothing);
  return html`<section class="list knowing"><header><h2>What is known</h2></header>
    <div ${room((width) => app.studio.show(Math.min(width, 760)))}>
      <p>${learned && learned.entries + learned.weigh_ins === 0 ? "Nothing logged yet. The spread is wide: one tile of each glaze would halve it. " : learned ? `${plural(learned.entries, "piece")} read and ${plural(learned.weigh_ins, "weigh-in")} have taught this. ${counting(learned)}${learned.calibration}${learned.counted > 0 ? " That is by the last whole reading." : ""}` : "Reading the log."}
      ${learned && !learned.scale_known ? html`Without a weigh-in, thickness and fluidity cannot be told apart: runs are foretold well, thicknesses in mm less so. <a href="#log/weigh-ins">Weigh a tile</a>.` : nothing}</p>
      ${odd(app, studio)}
      ${drawn && learned ? html`
        ${studio.glazes.length > 0 ? drawing("How fluid each glaze is", drawn.glazes, "The dark bar holds it nine times in ten; the pale one is what was thought before anything was logged.") : nothing}
        ${taught(app, studio, drawing)}
        ${drawing("How glazes go together", drawn.pairs, "Where one lies over another, the two can be more fluid than a mix of them would be: then the bar lies to the right. The dark bar holds it nine times in ten.")}
        ${studio.hands.length > 0 ? drawing("How thick each hand lays it on", drawn.hands, "Against the book’s coat.") : nothing}
        ${studio.firings.length > 0 ? drawing("What each firing did beyond its schedule", drawn.firings, "To the right it moved glaze more than its schedule says.") : nothing}
        ${learned.entries > 0 ? drawing("How far the chances can be trusted", drawn.reliability, "On the line, a chance of three in ten came true three times in ten. Each ring stands for entries foretold from all the others.") : nothing}` : nothing}
    </div></section>`;
}

type Drawing = (title: string, picture: Picture | undefined, words: string) => TemplateResult | typeof nothing;

/** What the newest firing taught. */
function taught(app: App, studio: Studio, drawing: Drawing): TemplateResult | typeof nothing {
  const { learned } = app.state;
  const { earlier } = app.studio;
  if (!learned || learned.entries === 0 || earlier === null) return nothing;
  if (earlier === undefined) {
    return html`<figure class="known-figure"><h3>What the last firing taught</h3>${app.studio.takesLong(learned)
      ? html`<p class="lead">A log of this length is read anew without it, which takes a while. <button class="link" @click=${() => app.studio.want()}>Work it out</button></p>`
      : html`<p class="lead">Reading the log anew without it.</p>`}</figure>`;
  }
  const firing = studio.firings.find((one) => one.id === earlier.firing);
  return html`${drawing(`What ${firing ? firingName(firing) : "the last firing"} taught`, earlier.glazes, "Of each glaze that was in it: pale, what was known before it was opened; dark, what is known now.")}
    ${earlier.lines.length > 0 ? html`<ul class="taught">${earlier.lines.map((line) => html`<li>${line}</li>`)}</ul>` : html`<p class="taught">It changed little in what is known.</p>`}`;
}

function odd(app: App, studio: Studio): TemplateResult | typeof nothing {
  const found = (app.state.learned?.odd_entries ?? []).flatMap((one) => {
    const entry = studio.entries.find((other) => other.id === one.id);
    return entry && !entry.kept ? [{ entry, why: one.why }] : [];
  });
  if (found.length === 0) return nothing;
  return html`<h3>Odd entries</h3><p class="lead">They do not bend the rest much; mend what was written down wrong, keep what was so.</p>
    <ul class="problems">${found.map(({ entry, why }) => html`<li class="odd"><b>${entry.code}</b> ${pieceName(studio, entry)}: ${why}
      <span class="acts"><a class="link" href="#log/${entry.firing ?? "none"}/${entry.id}">Mend it</a>
      <button class="link" @click=${() => void app.edit({ kind: "put", list: "entries", record: { ...entry, kept: true, changed_ms: Date.now() } }, `keeping ${entry.code}`)}>Keep as it is</button></span></li>`)}</ul>`;
}
