// Next tiles: a question, a budget, and the tiles that would settle it.
// Takes intents; asks the core for the ranking, and turns the chosen tiles into plans with codes.

import type { App } from "../../app.ts";
import { wordsOf } from "../../app.ts";
import type { Entry, Form, NextTiles } from "../../core/types.ts";

const MOST = 24;

export class NextDesk {
  plan: string | null = null;
  budget = 4;
  answer: NextTiles | null = null;
  refused = "";
  working = false;
  /** Tiles left out, by their place. */
  readonly without = new Set<number>();
  hand = "";
  firing = "";
  /** Plans made from the answer, by identifier. */
  made: string[] = [];
  #key = "";

  constructor(private readonly app: App) {}

  ask(plan: string, budget = this.budget): void {
    this.plan = plan;
    this.budget = Math.max(1, Math.min(MOST, budget));
    this.without.clear();
    this.made = [];
    this.working = true;
    this.app.redraw();
    this.app.client.latestCall("next", "next_tiles", [plan, this.budget], (answer) => {
      this.answer = answer;
      this.refused = "";
      this.working = false;
      this.app.redraw();
    }, (error) => {
      this.answer = null;
      this.refused = wordsOf(error, "This question has no answer.");
      this.working = false;
      this.app.redraw();
    });
  }

  /** Asks again where the plan or what is known has changed. */
  refresh(plan: Entry, key: string): void {
    if (this.made.length > 0 || this.#key === key) return;
    this.#key = key;
    queueMicrotask(() => this.ask(plan.id));
  }

  leaveOut(at: number, out: boolean): void {
    if (out) this.without.add(at);
    else this.without.delete(at);
    this.app.redraw();
  }

  /** The chosen tiles as plans, each with its code; one step to take back. */
  async make(): Promise<void> {
    const { studio } = this.app.state;
    if (!studio || !this.answer) return;
    const chosen = this.answer.tiles.filter((_, i) => !this.without.has(i));
    let tile: Form | undefined = studio.forms.find((form) => form.shape.family === "tile");
    const before = this.app.state.undo.length;
    const label = `${chosen.length} tiles to glaze next`;
    if (!tile) {
      const { id } = await this.app.fresh("forms", "Test tile");
      tile = { id, name: "Test tile", shape: { family: "tile", width_mm: 50, length_mm: 100, slope_deg: 90 }, changed_ms: Date.now() };
      if (!(await this.app.edit({ kind: "put", list: "forms", record: tile }, label))) return;
    }
    const made: string[] = [];
    for (const one of chosen) {
      const { id, code } = await this.app.fresh("entries", one.what);
      const record: Entry = { id, code, name: one.what.slice(0, 80), form: tile.id, ...(this.hand ? { hand: this.hand } : {}), ...(this.firing ? { firing: this.firing } : {}), layers: one.layers, note: "", kept: false, changed_ms: Date.now() };
      if (!(await this.app.edit({ kind: "put", list: "entries", record }, label))) break;
      made.push(id);
    }
    this.app.joinSteps(before, label);
    this.made = made;
    this.app.state.said = `${made.length} plans made.`;
    this.app.redraw();
  }
}
