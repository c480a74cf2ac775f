// The lesson's own state: two stacks that are only thought of, and the moment of the firing that is looked at.
// Takes intents; asks the core for the comparison and its pictures. Nothing here changes the studio.

import type { App } from "../../app.ts";
import { wordsOf } from "../../app.ts";
import { TrappedError } from "../../core/client.ts";
import type { Picture } from "../../core/protocol.ts";
import type { Entry, Layer, Lesson } from "../../core/types.ts";
import { units, withUnits } from "../../ui/words.ts";

const MOST = 20;

export class LessonDesk {
  /** The plan that both stacks begin from. */
  plan: string | null = null;
  stacks: [Layer[], Layer[]] = [[], []];
  lesson: Lesson | null = null;
  looked: { fronts: Picture; square: Picture; pots: Picture[] } | null = null;
  moment = -1;
  refused = "";
  #box = { chart: 700, width: 340, height: 380 };
  #key = "";

  constructor(private readonly app: App) {}

  /** Begins with a plan: as it is, and with twice of everything. */
  begin(entry: Entry): void {
    this.plan = entry.id;
    this.stacks = [entry.layers, entry.layers];
    this.twice();
  }

  twice(): void {
    this.#second(this.stacks[0].map((layer) => ({ ...layer, how: withUnits(layer.how, Math.min(MOST, 2 * units(layer.how))) })));
  }

  /** The same coats, what went on first going on last. */
  turned(): void {
    const [first] = this.stacks;
    this.#second(first.map((layer, i) => {
      const other = first[first.length - 1 - i] ?? layer;
      return { ...layer, glaze: other.glaze, how: other.how };
    }));
  }

  /** The stack of another plan, on this pot. */
  of(entry: Entry): void {
    this.#second(entry.layers);
  }

  step(side: 0 | 1, at: number, by: 1 | -1): void {
    const changed = this.stacks[side].map((layer, i) => (i === at ? { ...layer, how: withUnits(layer.how, Math.max(1, Math.min(MOST, units(layer.how) + by))) } : layer));
    this.stacks = side === 0 ? [changed, this.stacks[1]] : [this.stacks[0], changed];
    this.ask();
  }

  #second(layers: Layer[]): void {
    this.stacks = [this.stacks[0], layers];
    this.ask();
  }

  /** Room for the drawings, CSS px. */
  box(width: number): void {
    const wide = width >= 700;
    const pot = Math.floor(wide ? (width - 32) / 2 : width);
    if (this.#box.chart === width && this.#box.width === pot) return;
    this.#box = { chart: width, width: pot, height: wide ? 420 : 320 };
    this.look(this.moment);
  }

  /** Asks for the comparison, where what it hangs on has changed. */
  ask(): void {
    const { studio } = this.app.state;
    const entry = studio?.entries.find((one) => one.id === this.plan);
    this.app.redraw();
    if (!entry) return;
    const { outcome: _o, photo: _p, ...plan } = entry;
    const of = (side: 0 | 1): string => JSON.stringify({ ...plan, layers: this.stacks[side] });
    this.app.client.latestCall("lesson", "lesson_start", [of(0), of(1)], (lesson) => {
      this.lesson = lesson;
      this.refused = "";
      if (this.moment >= lesson.moments.length) this.moment = -1;
      this.look(this.moment);
    }, (error) => {
      if (error instanceof TrappedError) return;
      this.refused = wordsOf(error, "These two cannot be compared.");
      this.lesson = null;
      this.looked = null;
      this.app.redraw();
    });
  }

  /** The studio, or what is known of it, has changed. */
  refresh(key: string): void {
    if (this.#key === key) return;
    const first = this.#key === "";
    this.#key = key;
    if (!first) queueMicrotask(() => this.ask());
  }

  look(moment: number): void {
    this.moment = moment;
    this.app.redraw();
    if (!this.lesson) return;
    const at = moment < 0 ? this.lesson.moments.length - 1 : moment;
    const { chart, width, height } = this.#box;
    this.app.client.latestCall("lesson-look", "lesson_look", [at, ["first stack", "second stack"], chart, width, height], (looked) => {
      this.looked = looked;
      this.app.redraw();
    }, () => undefined);
  }
}
