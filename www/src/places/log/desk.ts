// What can be done in the kiln log: a firing opened, its pieces read one after another, tiles weighed.
// Takes intents; keeps what is typed until it is saved, changes the document through the app, asks the core for forecasts.

import type { App } from "../../app.ts";
import { wordsOf } from "../../app.ts";
import { FULL_DRAWS } from "../../core/protocol.ts";
import type { Edge, Entry, Firing, Learned, Look, Outcome, PlanOutcome, Run, RunWord, Studio, TextureSeen, Weighed, WeighIn } from "../../core/types.ts";
import type { Edit } from "../../mirror.ts";
import { lengthField } from "../../ui/format.ts";
import { isTile } from "../../ui/words.ts";
import { shrink } from "./photo.ts";

/** What is typed of one opening, before it is saved. */
export interface Draft {
  run: string;
  word: RunWord | "";
  edge: Edge;
  look: Look | "";
  texture: TextureSeen | "";
  note: string;
  shelf: string;
  /** A photograph that was just taken, as a data address; empty: as it was. */
  photo: string;
}

/** A weigh-in as it is typed. */
export interface Weighing { hand: string; glaze: string; method: string; count: number; area: string; before: string; after: string; sg: string; seconds: string }

/** Reading error of a ruler where nobody says, mm. */
const RULER_MM = 0.5;

/** A ruler's reading as it stands in its field. */
const inRuler = (mm: number): string => lengthField(mm).replace(" mm", "");

/** Pieces of a firing that are forecast for its list. */
const MOST_FORECAST = 60;

export const today = (): string => {
  const now = new Date();
  return `${now.getFullYear()}-${String(now.getMonth() + 1).padStart(2, "0")}-${String(now.getDate()).padStart(2, "0")}`;
};

export class LogDesk {
  /** The firing that is open; empty: pieces in no firing. */
  firing: string | null = null;
  weighing = false;
  reading: string | null = null;
  /** Where the keys go after the next drawing. */
  focus: string | null = null;
  /** The piece whose form was just put away: the keys go back to its row. */
  back: string | null = null;
  error = "";
  understood = "";
  shown = 100;
  /** What the last saved line changed; no lines yet while the log is being read. */
  news: { code: string; lines: string[] | null } | null = null;
  readonly drafts = new Map<string, Draft>();
  readonly forecasts = new Map<string, { key: string; outcome: PlanOutcome | null }>();
  paper: "sheet" | "labels" = "sheet";
  weigh: Weighing = { hand: "", glaze: "", method: "brush", count: 3, area: "", before: "", after: "", sg: "", seconds: "" };
  weighed: Weighed | null = null;
  wrong: { [field: string]: string } = {};
  #asked = "";
  #learned = 0;

  constructor(private readonly app: App) {}

  /** `weigh-ins`, or a firing's identifier and perhaps that of a piece in it, or nothing. */
  go([firing = "", entry]: string[]): void {
    this.weighing = firing === "weigh-ins";
    if (this.weighing || firing === "") return;
    this.open(firing === "none" ? "" : firing);
    if (entry) this.read(entry);
  }

  open(firing: string): void {
    this.firing = firing;
    this.reading = null;
    this.shown = 100;
    this.error = "";
    this.app.redraw();
  }

  /** Firings to open, those still to come first, then the newest. */
  firings(studio: Studio): Firing[] {
    const rank = (one: Firing): string => (one.state === "planned" ? `~${one.day ?? "~"}` : (one.day ?? ""));
    return [...studio.firings].sort((a, b) => rank(b).localeCompare(rank(a)));
  }

  /** The firing that is shown: the one chosen, else the first that has something to read. */
  current(studio: Studio): Firing | null {
    if (this.firing === "") return null;
    const all = this.firings(studio);
    return all.find((one) => one.id === this.firing) ?? all.find((one) => studio.entries.some((entry) => entry.firing === one.id && !entry.outcome)) ?? all[0] ?? null;
  }

  /** Its pieces in the order of the shelves, those without one last. */
  pieces(studio: Studio, firing: Firing | null): Entry[] {
    const known = new Set(studio.firings.map((one) => one.id));
    const of = studio.entries.filter((entry) => (firing ? entry.firing === firing.id : !entry.firing || !known.has(entry.firing)));
    return of.sort((a, b) => (a.shelf ?? 99) - (b.shelf ?? 99));
  }

  /** Those that are shown: the first, and the one that is read. */
  inSight(entries: Entry[]): Entry[] {
    const shown = entries.slice(0, this.shown);
    const read = entries.find((one) => one.id === this.reading);
    return read && !shown.includes(read) ? [...shown, read] : shown;
  }

  /** Asks for the forecasts of the plans that are in sight, one after another. */
  forecast(entries: Entry[]): void {
    const wanted = entries.filter((entry) => !entry.outcome).slice(0, MOST_FORECAST);
    const key = (entry: Entry): string => `${entry.changed_ms} ${this.#learned}`;
    const next = wanted.find((entry) => this.forecasts.get(entry.id)?.key !== key(entry));
    if (!next || this.#asked !== "" || !this.app.state.learned) return;
    const asked = `${next.id} ${key(next)}`;
    this.#asked = asked;
    const done = (outcome: PlanOutcome | null): void => {
      this.forecasts.set(next.id, { key: key(next), outcome });
      this.#asked = "";
      this.app.redraw();
    };
    this.app.client.call("forecast", next.id, FULL_DRAWS).then(done, () => done(null));
  }

  /** The log has been read anew. */
  heard(learned: Learned): void {
    this.#learned += 1;
    if (this.news && !this.news.lines && learned.waiting === 0) this.news = { ...this.news, lines: learned.changed };
    if (this.weighing) this.ask();
  }

  draft(studio: Studio, entry: Entry): Draft {
    const typed = this.drafts.get(entry.id);
    if (typed) return typed;
    const { outcome } = entry;
    const { run } = outcome ?? {};
    return {
      run: run?.by === "ruler" ? inRuler(run.run_mm) : "", word: run?.by === "word" ? run.word : "",
      edge: outcome?.edge ?? (isTile(studio, entry) ? "onto_bare_clay" : "to_the_foot"), look: outcome?.look ?? "", texture: outcome?.texture ?? "",
      note: entry.note, shelf: entry.shelf === undefined ? "" : String(entry.shelf), photo: "",
    };
  }

  type(studio: Studio, entry: Entry, change: Partial<Draft>): void {
    const now = { ...this.draft(studio, entry), ...change };
    this.drafts.delete(entry.id);
    // What is as it was before is nothing typed.
    if (JSON.stringify(now) !== JSON.stringify(this.draft(studio, entry))) this.drafts.set(entry.id, now);
    this.#keepDrafts();
    this.error = "";
    this.app.redraw();
  }

  /** What was typed outlives the page, photographs aside: they would be written anew with every key. */
  #keepDrafts(): void {
    this.app.keeper.forPage("drafts", [...this.drafts].map(([id, draft]) => [id, { ...draft, photo: "" }]));
  }

  /** What was typed before the page was last closed. */
  comeBack(kept: unknown, studio: Studio): void {
    if (!Array.isArray(kept)) return;
    const known = new Set(studio.entries.map((entry) => entry.id));
    for (const [id, draft] of kept as [string, Draft][]) if (known.has(id) && typeof draft.run === "string") this.drafts.set(id, draft);
  }

  /** Drops what was typed of a piece; it can be brought back. */
  drop(entry: Entry): void {
    const draft = this.drafts.get(entry.id);
    this.drafts.delete(entry.id);
    this.#keepDrafts();
    this.read(null);
    if (draft) {
      const name = entry.code || entry.name;
      this.app.say(`What was typed of ${name} is dropped.`, false, {
        label: "Bring it back",
        run: () => {
          this.drafts.set(entry.id, draft);
          this.#keepDrafts();
          this.read(entry.id);
        },
      });
    }
  }

  read(id: string | null): void {
    this.reading = id;
    this.focus = id;
    this.error = "";
    this.understood = "";
    this.app.redraw();
  }

  /** Puts the form away; what was typed stays until it is kept or dropped. */
  leave(entry: Entry): void {
    this.app.state.said = this.drafts.has(entry.id) ? `${entry.code || entry.name} is put away; what was typed is still there.` : "";
    this.read(null);
    this.back = entry.id;
  }

  /** Says back what a run is taken for while it is typed. */
  understand(text: string): void {
    if (text.trim() === "") {
      this.understood = "";
      return;
    }
    this.app.read(text, "length_mm").then((reading) => reading.understood, (error: unknown) => wordsOf(error, "")).then((words) => {
      this.understood = words;
      this.app.redraw();
    });
  }

  /** Saves what was read of one piece, and goes on to the next. */
  async save(studio: Studio, entry: Entry): Promise<void> {
    const draft = this.draft(studio, entry);
    let outcome: Outcome;
    try {
      outcome = await this.#outcome(entry, draft);
    } catch (error) {
      this.error = wordsOf(error, "The run was not understood.");
      this.focus = entry.id;
      this.app.redraw();
      return;
    }
    const { outcome: _was, shelf: _shelf, ...kept } = entry;
    const record: Entry = { ...kept, ...(draft.shelf === "" ? {} : { shelf: Number(draft.shelf) }), note: draft.note, outcome, changed_ms: Date.now() };
    const edits: Edit[] = [];
    const firing = studio.firings.find((one) => one.id === entry.firing);
    if (firing?.state !== "opened" && firing) edits.push({ kind: "put", list: "firings", record: { ...firing, state: "opened", changed_ms: Date.now() } });
    if (draft.photo !== "") {
      const { id } = await this.app.fresh("photos", "");
      const [head = "", data = ""] = draft.photo.split(",");
      edits.push({ kind: "put", list: "photos", record: { id, media_type: head.slice(5, head.indexOf(";")), data_base64: data, changed_ms: Date.now() } });
      if (entry.photo) edits.push({ kind: "remove", list: "photos", id: entry.photo });
      record.photo = id;
    }
    edits.push({ kind: "put", list: "entries", record });
    // The old photograph goes after nothing names it any more.
    edits.sort((a, b) => Number(a.kind === "remove") - Number(b.kind === "remove"));
    const name = entry.code || entry.name;
    const refusal = await this.app.tryEdit({ kind: "many", edits }, `reading ${name}`);
    if (refusal !== null) {
      this.error = refusal;
      this.app.redraw();
      return;
    }
    this.drafts.delete(entry.id);
    this.#keepDrafts();
    this.news = { code: name, lines: null };
    const now = this.app.state.studio;
    const rest = now ? this.pieces(now, this.current(now)).filter((one) => !one.outcome) : [];
    this.app.state.said = `${name} kept.${rest.length === 0 ? " All of this firing is read." : ""}`;
    this.read(rest[0]?.id ?? null);
    if (rest.length === 0) document.getElementById("main")?.focus();
  }

  async #outcome(entry: Entry, draft: Draft): Promise<Outcome> {
    let run: Run | null = null;
    if (draft.run.trim() !== "") {
      const before = entry.outcome?.run?.by === "ruler" ? entry.outcome.run : null;
      // What is left as it was stays the number that it was, not what its text is rounded to.
      const run_mm = before && draft.run === inRuler(before.run_mm) ? before.run_mm : (await this.app.read(draft.run, "length_mm")).value;
      run = { by: "ruler", run_mm, error_mm: before?.error_mm ?? RULER_MM };
    } else if (draft.word !== "") {
      const { least_mm: least, most_mm: most } = await this.app.wordMm(entry.id, draft.word);
      run = { by: "word", word: draft.word, ...(least === null ? {} : { least_mm: least }), ...(most === null ? {} : { most_mm: most }) };
    }
    return {
      day: entry.outcome?.day ?? today(), ...(run ? { run } : {}), edge: draft.edge,
      ...(draft.look === "" ? {} : { look: draft.look }), ...(draft.texture === "" ? {} : { texture: draft.texture }),
    };
  }

  async photo(studio: Studio, entry: Entry, file: File): Promise<void> {
    try {
      this.type(studio, entry, { photo: await shrink(file, studio.photos) });
    } catch (error) {
      this.error = error instanceof Error ? error.message : String(error);
      this.app.redraw();
    }
  }

  /** A plan from elsewhere goes into a firing. */
  take(entry: Entry, firing: Firing): void {
    void this.app.edit({ kind: "put", list: "entries", record: { ...entry, firing: firing.id, changed_ms: Date.now() } }, `putting ${entry.code || entry.name} into ${firing.name || firing.kiln}`);
  }

  /** Another piece like this one, with a code of its own. */
  async another(entry: Entry): Promise<void> {
    const { id, code } = await this.app.fresh("entries", entry.name);
    const { outcome: _o, photo: _p, ...kept } = entry;
    await this.app.edit({ kind: "put", list: "entries", record: { ...kept, id, code, note: "", kept: false, changed_ms: Date.now() } }, `another like ${entry.code || entry.name}`);
  }

  print(paper: LogDesk["paper"]): void {
    this.paper = paper;
    this.app.redraw();
    setTimeout(() => print(), 50);
  }

  // ---- weigh-ins --------------------------------------------------------------------------------------------

  typeWeigh(change: Partial<Weighing>): void {
    this.weigh = { ...this.weigh, ...change };
    this.ask();
    this.app.redraw();
  }

  /** What the weigh-in says, as it is typed. */
  ask(): void {
    const { hand, glaze, method, count, area, before, after, sg, seconds } = this.weigh;
    if (area === "" || after === "" || hand === "" || glaze === "") {
      this.weighed = null;
      this.wrong = {};
      return;
    }
    this.app.client.latestCall("weigh", "weigh", [hand, glaze, method, count, area, before, after, sg, seconds], (answer) => {
      this.weighed = answer.weighed;
      this.wrong = answer.wrong;
      this.app.redraw();
    }, (error) => {
      this.weighed = null;
      this.wrong = { after: wordsOf(error, "Not understood.") };
      this.app.redraw();
    });
  }

  async keepWeighed(): Promise<void> {
    if (!this.weighed) return;
    const { id } = await this.app.fresh("weigh_ins", "");
    const record = { ...(JSON.parse(this.weighed.record) as WeighIn), id, day: today(), note: "", changed_ms: Date.now() };
    if (!(await this.app.edit({ kind: "put", list: "weigh_ins", record }, "a weigh-in"))) return;
    this.news = { code: "The weigh-in", lines: null };
    this.weigh = { ...this.weigh, before: "", after: "" };
    this.weighed = null;
    this.app.state.said = "The weigh-in is kept.";
    this.app.redraw();
  }
}
