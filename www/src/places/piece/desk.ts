// What can be done on Piece: the open plan changed, its answer asked for, its drawing looked at.
// Takes intents; changes the app's state through the app, and asks the core.

import type { App } from "../../app.ts";
import { wordsOf } from "../../app.ts";
import { TrappedError } from "../../core/client.ts";
import { type AnswerPart, type Box, FULL_DRAWS } from "../../core/protocol.ts";
import type { Entry, Layer } from "../../core/types.ts";
import { glazeName, unitName, units, verdictWord, withUnits } from "../../ui/words.ts";

/** Draws for each cell of the coat chart. */
const CHART_DRAWS = 256;

export class PieceDesk {
  #boxes: { pot: Box; twenty: Box } = { pot: { width: 700, height: 560 }, twenty: { width: 700, height: 90 } };
  #asked_at = 0;
  /** Something changed while another place was looked at. */
  #stale = false;

  constructor(private readonly app: App) {}

  /** Changes the open plan. */
  change(label: string, make: (entry: Entry) => Entry): void {
    const entry = this.app.plan();
    if (!entry) return;
    void this.app.edit({ kind: "put", list: "entries", record: { ...make(entry), changed_ms: Date.now() } }, label);
  }

  changeLayer(at: number, label: string, make: (layer: Layer) => Layer): void {
    this.change(label, (entry) => ({ ...entry, layers: entry.layers.map((layer, i) => (i === at ? make(layer) : layer)) }));
  }

  /** One coat, dip or pass more or less; the last one takes the layer with it. */
  step(at: number, by: 1 | -1): void {
    const entry = this.app.plan();
    const layer = entry?.layers[at];
    const studio = this.app.state.studio;
    if (!entry || !layer || !studio) return;
    const count = units(layer.how) + by;
    const name = glazeName(studio, layer.glaze);
    if (count < 1) {
      this.removeLayer(at);
      return;
    }
    this.changeLayer(at, `${by > 0 ? "one more" : "one less"} ${unitName(layer.how, 1)} of ${name}`, (one) => ({ ...one, how: withUnits(one.how, count) }));
  }

  removeLayer(at: number): void {
    const entry = this.app.plan();
    const layer = entry?.layers[at];
    const studio = this.app.state.studio;
    if (!entry || !layer || !studio) return;
    this.app.state.open = null;
    this.change(`removing ${glazeName(studio, layer.glaze)}`, (one) => ({ ...one, layers: one.layers.filter((_, i) => i !== at) }));
  }

  moveLayer(at: number, by: 1 | -1): void {
    const studio = this.app.state.studio;
    const entry = this.app.plan();
    const layer = entry?.layers[at];
    if (!layer || !studio || !entry?.layers[at + by]) return;
    if (this.app.state.open === at) this.app.state.open = at + by;
    this.change(`moving ${glazeName(studio, layer.glaze)}`, (one) => {
      const layers = one.layers.filter((_, i) => i !== at);
      layers.splice(at + by, 0, layer);
      return { ...one, layers };
    });
  }

  addLayer(): void {
    const studio = this.app.state.studio;
    const entry = this.app.plan();
    const top = entry?.layers.at(-1);
    const glaze = studio?.glazes.find((one) => !entry?.layers.some((layer) => layer.glaze === one.id)) ?? studio?.glazes[0];
    if (!studio || !entry || !glaze) return;
    const layer: Layer = { glaze: glaze.id, zone: top ? { ...top.zone } : { from_mm: 0, to_mm: 60, over_rim: false, inside_mm: 0 }, how: { method: "brush", coats: 1 } };
    this.change(`adding ${glaze.name}`, (one) => ({ ...one, layers: [...one.layers, layer] }));
  }

  openLayer(at: number): void {
    this.app.state.open = this.app.state.open === at ? null : at;
    this.app.redraw();
  }

  choosePlan(id: string): void {
    this.app.state.plan = id;
    this.app.state.open = null;
    this.app.state.chart = null;
    this.app.keeper.forPage("plan", id);
    this.answer();
    this.app.redraw();
  }

  /** A plan of its own: a copy of another entry, or a first one. */
  async newPlan(from: Entry | null, name: string): Promise<void> {
    const studio = this.app.state.studio;
    const form = from?.form ?? studio?.forms[0]?.id;
    if (!studio || !form) return;
    const { id, code } = await this.app.fresh("entries", name);
    const first: Layer[] = studio.glazes.slice(0, 1).map((glaze) => ({ glaze: glaze.id, zone: { from_mm: 0, to_mm: 60, over_rim: false, inside_mm: 0 }, how: { method: "brush", coats: 3 } }));
    const { outcome: _outcome, photo: _photo, ...kept } = from ?? { layers: first, note: "", kept: false };
    const record = { ...kept, id, code, name, form, kept: false, changed_ms: Date.now() } as Entry;
    this.app.state.plan = id;
    this.app.state.chart = null;
    if (await this.app.edit({ kind: "put", list: "entries", record }, `making ${name}`)) this.choosePlan(id);
  }

  removePlan(): void {
    const entry = this.app.plan();
    if (!entry) return;
    const next = this.app.plans().find((one) => one.id !== entry.id);
    void this.app.edit({ kind: "remove", list: "entries", id: entry.id }, `removing ${entry.name || entry.code}`).then((done) => {
      if (done && next) this.choosePlan(next.id);
    });
  }
  // ---- answers ----------------------------------------------------------------------------------------------

  boxes(pot: Box, twenty: Box): void {
    const before = this.#boxes;
    if (before.pot.width === pot.width && before.pot.height === pot.height && before.twenty.width === twenty.width) return;
    this.#boxes = { pot, twenty };
    const { settled, answer, moment, lens } = this.app.state;
    // What is known stays as it is, on paper too: only the drawings change their size.
    if (settled && answer?.phase === "full" && answer.entry === this.app.plan()?.id) this.look(moment, lens, twenty);
    else this.answer();
  }

  /** The place is looked at again. */
  enter(): void {
    if (this.#stale) this.answer();
  }

  /** Asks for the open plan's answer: quick first, then the spread, then the coat chart. Elsewhere that can wait: what is saved there
   *  must not stand behind it. */
  answer(): void {
    this.#stale = this.app.state.place !== "piece";
    if (this.#stale) return;
    const entry = this.app.plan();
    if (!entry) {
      this.app.state.answer = null;
      this.app.state.pot = null;
      return;
    }
    this.app.state.settled = false;
    this.#asked_at = performance.now();
    this.app.client.latest<"answer">(
      "answer",
      { kind: "answer", entry: entry.id, draws: FULL_DRAWS, pot: this.#boxes.pot, twenty: this.#boxes.twenty, moment: this.app.state.moment, lens: this.app.state.lens },
      (part) => this.#answered(part),
      (error) => this.#unanswered(error),
    );
  }

  #answered(part: AnswerPart): void {
    const { state } = this.app;
    const { phase, entry, read, outcome, twenty, strata, spots, moments, pot, lens, firing } = part;
    state.answer = { phase, entry, read, outcome, twenty, strata, spots, moments };
    if (!read) state.unread = { entry, changed_ms: this.app.plan()?.changed_ms ?? 0, run_mm: outcome.run_mm.p50 };
    state.pot = pot;
    state.lensPicture = lens;
    state.firingPicture = firing;
    state.potOf = entry;
    state.refused = null;
    if (state.moment >= moments.length) state.moment = -1;
    this.app.redraw();
    // Taken once the page has been redrawn, which waits behind this.
    const asked_at = this.#asked_at;
    queueMicrotask(() => {
      const now = performance.now();
      this.app.timings[phase === "quick" ? "quick_ms" : "full_ms"].push(now - asked_at);
      this.app.timings.first_ms ??= now;
      if (read) this.app.timings.read_ms ??= now;
    });
    if (phase === "full") {
      state.settled = true;
      state.said = `${verdictWord(state.studio, this.app.plan(), outcome.verdict)}. ${outcome.advice}`;
      this.app.redraw();
      this.#chart(entry);
    }
  }

  #unanswered(error: Error): void {
    if (error instanceof TrappedError) return;
    this.app.state.settled = true;
    this.app.state.refused = wordsOf(error, "This plan has no answer.");
    this.app.state.answer = null;
    this.app.state.pot = null;
    this.app.redraw();
  }

  #chart(entry: string): void {
    let cells = this.app.state.chart?.entry === entry ? this.app.state.chart.cells : [];
    this.app.client.latest<"chart">(
      "chart",
      { kind: "chart", entry, draws: CHART_DRAWS },
      (part) => {
        const kept = cells.filter((old) => !part.cells.some((one) => one.under === old.under && one.over === old.over));
        cells = [...kept, ...part.cells];
        this.app.state.chart = { entry, cells, done: part.done };
        if (part.done) this.app.timings.chart_ms.push(part.worker_ms);
        this.app.redraw();
      },
      () => {
        this.app.state.chart = null;
        this.app.redraw();
      },
    );
  }

  /** Another moment of the firing, or the lens elsewhere: only the drawing changes. */
  look(moment: number, lens = this.app.state.lens, twenty?: Box): void {
    const another = lens !== this.app.state.lens;
    this.app.state.moment = moment;
    this.app.state.lens = lens;
    this.app.redraw();
    const entry = this.app.plan();
    if (!entry) return;
    this.app.client.latest<"picture">(
      "picture",
      { kind: "picture", entry: entry.id, pot: this.#boxes.pot, moment, lens, ...(twenty ? { twenty } : {}) },
      ({ pot, lens: near, firing, twenty: row }) => {
        if (row && this.app.state.answer?.entry === entry.id) this.app.state.answer.twenty = row;
        this.app.state.pot = pot;
        this.app.state.lensPicture = near;
        this.app.state.firingPicture = firing;
        this.app.state.potOf = entry.id;
        this.app.redraw();
        // A lens that stands below the drawing may lie below the window as well.
        if (another && near) document.querySelector(".picture.lens")?.scrollIntoView({ block: "nearest" });
      },
      () => undefined,
    );
  }

  /** Swatches of the glazes, for lists. */
  swatches(): void {
    this.app.client.ask<"swatches">({ kind: "swatches", width: 32, height: 40 }).then(
      (drawn) => {
        this.app.state.swatches = new Map(drawn);
        this.app.redraw();
      },
      () => undefined,
    );
  }
}
