// The page's state and everything that can be done to it: intents go to the worker, answers come back into the state.
// Takes what people do; asks the core, keeps the studio on disk, and calls `draw` whenever something shown has changed.

import { completeStudio } from "./core/complete.ts";
import { Client, RefusedError, TrappedError } from "./core/client.ts";
import type { Applied, Entry, Message, Opened, Quantity, Reading, RunWord, Settings, Studio, WordMm } from "./core/types.ts";
import { joined, type Kept } from "./save/db.ts";
import { download, FILE_LIMIT_BYTES } from "./save/file.ts";
import { Keeper } from "./save/keeper.ts";
import { begin, PLACES, type FormDialog, type Notice, type State } from "./state.ts";
import { plural, setUnits } from "./ui/format.ts";
import { mirror, type Edit } from "./mirror.ts";
import { LogDesk } from "./places/log/desk.ts";
import { LessonDesk } from "./places/lesson/desk.ts";
import { NextDesk } from "./places/next/desk.ts";
import { PieceDesk } from "./places/piece/desk.ts";
import { StudioDesk } from "./places/studio/desk.ts";

const UNDO_LIMIT = 200;

/** A studio whose document the page has read itself. */
interface Parsed { studio: Studio; settings: Settings; left_out: Message[] }

export class App {
  readonly state: State = begin();
  readonly client: Client;
  readonly keeper = new Keeper(this);
  readonly piece = new PieceDesk(this);
  readonly lesson = new LessonDesk(this);
  readonly log = new LogDesk(this);
  readonly next = new NextDesk(this);
  readonly studio = new StudioDesk(this);
  readonly #draw: () => void;
  #notice = 1;
  /** The last change that was asked for. */
  #asked: Promise<unknown> = Promise.resolve();
  /** Opens the studio of the demonstration. */
  readonly #demo: () => string;
  /** From a change until the page had redrawn, and from the page's start to its first numbers and to those that know the log, ms. */
  readonly timings: { quick_ms: number[]; full_ms: number[]; chart_ms: number[]; learn_ms: number[]; helped: boolean[]; first_ms: number | null; read_ms: number | null } = { quick_ms: [], full_ms: [], chart_ms: [], learn_ms: [], helped: [], first_ms: null, read_ms: null };

  constructor(script: string | Blob, module: Promise<WebAssembly.Module>, demo: () => string, draw: () => void) {
    this.#demo = demo;
    this.#draw = draw;
    this.client = new Client(script, module, {
      learned: (learned, worker_ms, helped) => {
        if (worker_ms !== null) {
          this.timings.learn_ms.push(worker_ms);
          this.timings.helped.push(helped);
        }
        this.state.learned = learned;
        this.state.learnedTimes += 1;
        this.state.learning = null;
        this.log.heard(learned);
        this.studio.heard(learned);
        this.piece.answer();
        this.#draw();
      },
      learning: (share) => {
        this.state.learning = share;
        this.#draw();
      },
      replaced: (message, again) => void this.#replay(message, again),
      broken: (message) => this.say(`The calculation could not be started: ${message} Your studio is kept. Reload the page, or open it in a current browser.`, true),
    });
  }

  // ---- opening ----------------------------------------------------------------------------------------------

  async start(): Promise<void> {
    this.#hash();
    addEventListener("hashchange", () => this.#hash());
    const kept = await this.keeper.open();
    if (!kept) await this.#open(this.#demo(), this.state.save.kind !== "refused");
    else if (!(await this.#restore(kept))) {
      this.keeper.stop("what was kept in this browser could not be opened, and nothing is written over it");
      await this.#open(this.#demo(), false);
    }
    if (this.state.studio) this.log.comeBack(this.keeper.drafts, this.state.studio);
    this.keeper.join(() => void this.#follow());
    this.#draw();
  }

  /** Puts a studio from a file in place of the one that is open, and keeps it where `write` says so. */
  async #open(text: string, write: boolean): Promise<boolean> {
    // Not kept until all of it is.
    const release = write ? this.keeper.hold() : undefined;
    try {
      this.#take(await this.client.ask<"open">({ kind: "open", studio: text }));
      this.#uncounted();
      if (write) await this.keeper.all();
      return true;
    } catch (error) {
      if (!(error instanceof TrappedError)) this.say(wordsOf(error, "This studio could not be opened."), true);
      return false;
    } finally {
      release?.();
      this.#draw();
    }
  }

  /** Puts together what was kept in this browser; what cannot be read is said and left where it is. */
  async #restore(kept: Kept): Promise<boolean> {
    try {
      const opened = await this.#whole(kept);
      this.#take(opened);
      this.state.save = { kind: "saved" };
      if (opened.left_out.length > 0) {
        this.say(`${plural(opened.left_out.length, "record")} kept in this browser could not be read and ${opened.left_out.length === 1 ? "is" : "are"} left out: ${opened.left_out[0]?.problem ?? ""}`, true, {
          label: "Save all that was kept, as it is",
          run: () => download("glazefall-kept.json", JSON.stringify(kept)),
        });
      }
      return true;
    } catch (error) {
      if (!(error instanceof TrappedError)) {
        this.say(wordsOf(error, "What was kept in this browser could not be opened."), true, { label: "Save it as it is", run: () => download("glazefall-kept.json", JSON.stringify(kept)) });
      }
      return false;
    } finally {
      this.#draw();
    }
  }

  /** What was kept, as one document: the core and the page read it at the same time. Where the core does not take it, it looks at
   *  record after record and says what has to be left out. */
  async #whole(kept: Kept): Promise<Opened | Parsed> {
    const studio = joined(kept);
    if (studio !== null) {
      try {
        const asked = this.client.ask<"open_kept">({ kind: "open_kept", studio });
        asked.catch(() => undefined);
        const parsed = JSON.parse(studio) as Studio;
        return { studio: parsed, settings: await asked, left_out: [] };
      } catch (error) {
        if (error instanceof TrappedError) throw error;
      }
    }
    return this.client.ask<"assemble">({ kind: "assemble", head: kept.head, records: kept.records });
  }

  #take(opened: Opened | Parsed): void {
    const document = typeof opened.studio === "string" ? (JSON.parse(opened.studio) as Studio) : opened.studio;
    const studio = completeStudio(document, opened.settings);
    this.state.studio = studio;
    setUnits(studio.settings.units);
    const plans = studio.entries.filter((entry) => !entry.outcome);
    if (!studio.entries.some((entry) => entry.id === this.state.plan)) this.state.plan = plans[0]?.id ?? null;
    this.piece.swatches();
    this.piece.answer();
  }

  /** Another tab has written: read what it wrote. */
  async #follow(): Promise<void> {
    const kept = await this.keeper.read();
    if (kept) {
      this.state.undo = [];
      this.state.redo = [];
      await this.#restore(kept);
    }
  }

  /** Whatever comes is read whole first. */
  #uncounted(): void {
    this.state.learning = null;
    if (this.state.learned) this.state.learned = { ...this.state.learned, counted: 0, waiting: 0 };
  }

  /** After a trap: a new worker, the same studio, said once. */
  async #replay(message: string, again: boolean): Promise<void> {
    const studio = this.state.studio;
    this.#uncounted();
    if (again) {
      this.state.refused = `This plan stops the calculation (${message}). Take back the last change, or save the studio's file and send it with a note of what you did.`;
      if (studio) await this.client.ask<"open">({ kind: "open", studio: JSON.stringify(studio) }).catch(() => undefined);
      this.#draw();
      return;
    }
    if (studio) {
      const ok = await this.client.ask<"open">({ kind: "open", studio: JSON.stringify(studio) }).then(() => true, () => false);
      if (ok) this.piece.answer();
    }
    this.say("The calculation stopped and was started again with your studio. Nothing that was saved is lost.", false);
  }

  // ---- files ------------------------------------------------------------------------------------------------

  /** A file dropped or chosen: a studio, or a table for it. */
  async openFile(file: File): Promise<void> {
    if (/\.(csv|tsv|txt)$/i.test(file.name)) {
      location.hash = "studio";
      await this.studio.tableIn(file);
      return;
    }
    if (file.size > FILE_LIMIT_BYTES) {
      this.say(`${file.name} is larger than 50 MB, more than any studio needs. Nothing was changed.`, true);
      return;
    }
    const before = this.state.studio;
    const text = await file.text();
    if (await this.#open(text, true)) this.#offerBack(before, `Opened ${file.name}.`);
  }

  async startEmpty(): Promise<void> {
    const before = this.state.studio;
    const id = `studio-${randomLetters(10)}`;
    try {
      const blank = await this.client.ask<"blank">({ kind: "blank", name: "My studio", id });
      if (await this.#open(blank, true)) this.#offerBack(before, "An empty studio is open.");
    } catch (error) {
      this.say(wordsOf(error, "An empty studio could not be made."), true);
    }
  }

  async openDemo(): Promise<void> {
    const before = this.state.studio;
    if (await this.#open(this.#demo(), true)) this.#offerBack(before, "The demonstration is open.");
  }

  #offerBack(before: Studio | null, text: string): void {
    this.state.undo = [];
    this.state.redo = [];
    this.say(text, false, before ? { label: `Back to ${before.name}`, run: () => void this.#open(JSON.stringify(before), true) } : undefined);
  }

  // ---- saying -----------------------------------------------------------------------------------------------

  say(text: string, grave: boolean, action?: Notice["action"]): void {
    this.state.notices = [...this.state.notices.filter((one) => one.text !== text), { id: this.#notice++, text, grave, ...(action ? { action } : {}) }].slice(-3);
    this.#draw();
  }

  putAway(id: number): void {
    this.state.notices = this.state.notices.filter((one) => one.id !== id);
    this.#draw();
  }

  // ---- going about ------------------------------------------------------------------------------------------

  #hash(): void {
    const [place = "", ...rest] = location.hash.replace(/^#/, "").split("/").map(decodeURIComponent);
    const before = this.state.place;
    this.state.place = PLACES.find((one) => one === place) ?? "piece";
    // Another place begins at its top.
    if (this.state.place !== before) scrollTo(0, 0);
    if (place === "log") this.log.go(rest);
    if (this.state.place === "piece") this.piece.enter();
    this.#draw();
  }

  // ---- editing ----------------------------------------------------------------------------------------------

  /** One change of the document; a refusal is said at the top of the page. */
  async edit(edit: Edit, label: string): Promise<boolean> {
    const refusal = await this.tryEdit(edit, label);
    if (refusal !== null) this.say(refusal, true);
    return refusal === null;
  }

  /** One change: shown at once, checked by the core, kept, and able to be taken back. Gives the words of a refusal, or null. */
  async tryEdit(edit: Edit, label: string): Promise<string | null> {
    const studio = this.state.studio;
    if (!studio || this.state.role === "follower") return "Another tab is writing in this studio.";
    this.state.studio = mirror(studio, edit);
    setUnits(this.state.studio.settings.units);
    const asked = this.client.ask<"edit">({ kind: "edit", edit: JSON.stringify(edit) });
    this.#asked = asked.catch(() => undefined);
    const release = this.keeper.hold();
    this.piece.answer();
    this.#draw();
    try {
      const applied = await asked;
      this.#step(label, applied);
      return null;
    } catch (error) {
      await this.#again();
      return error instanceof TrappedError ? "The calculation stopped and was started again. Try once more." : wordsOf(error, "That was not taken.");
    } finally {
      release();
    }
  }

  #step(label: string, applied: Applied): void {
    this.state.undo = [...this.state.undo, { label, edit: applied.inverse }].slice(-UNDO_LIMIT);
    this.state.redo = [];
    this.#keep(applied);
    const read = applied.changed.filter((one) => one.list === "weigh_ins" || (one.list === "entries" && one.json?.includes('"outcome"'))).length;
    if (read > 0) this.keeper.sinceFile(this.state.sinceFile + read);
  }

  /** A change that the core has made already: kept, able to be taken back, and fetched. */
  async done(label: string, applied: Applied): Promise<void> {
    this.#step(label, applied);
    await this.#again();
  }

  /** The steps made since there were `before` become one, to be taken back together. */
  joinSteps(before: number, label: string): void {
    const { undo } = this.state;
    const steps = undo.slice(before);
    if (steps.length < 2) return;
    const edit = JSON.stringify({ kind: "many", edits: steps.reverse().map((one) => JSON.parse(one.edit) as Edit) });
    this.state.undo = [...undo.slice(0, before), { label, edit }];
  }

  /** What the core has is what counts. */
  async #again(): Promise<void> {
    try {
      this.#take(await this.client.ask<"reopen">({ kind: "reopen" }));
    } catch {
      // The worker is being replaced; the replay brings the page's own copy.
    }
    this.#draw();
  }

  #keep(applied: Applied): void {
    const { changed, head, settings } = applied;
    if (settings && this.state.studio) {
      this.state.studio = { ...this.state.studio, settings };
      setUnits(settings.units);
    }
    this.keeper.changes(head, changed);
    if (changed.some((one) => one.list === "glazes")) this.piece.swatches();
    this.#draw();
  }

  async takeBack(from: "undo" | "redo"): Promise<void> {
    // A change that the core has not taken yet is no step yet.
    await this.#asked;
    const step = this.state[from].at(-1);
    const studio = this.state.studio;
    if (!step || !studio || this.state.role === "follower") return;
    this.state[from] = this.state[from].slice(0, -1);
    this.state.studio = mirror(studio, JSON.parse(step.edit) as Edit);
    setUnits(this.state.studio.settings.units);
    const asked = this.client.ask<"edit">({ kind: "edit", edit: step.edit });
    if (!this.state.studio.entries.some((entry) => entry.id === this.state.plan)) this.state.plan = this.plans()[0]?.id ?? null;
    const release = this.keeper.hold();
    this.piece.answer();
    this.#draw();
    try {
      const applied = await asked;
      const to = from === "undo" ? "redo" : "undo";
      this.state[to] = [...this.state[to], { label: step.label, edit: applied.inverse }].slice(-UNDO_LIMIT);
      this.state.said = from === "undo" ? `Taken back: ${step.label}.` : `Done again: ${step.label}.`;
      this.#keep(applied);
    } catch (error) {
      await this.#again();
      if (!(error instanceof TrappedError)) this.say(wordsOf(error, "That could not be taken back."), true);
    } finally {
      release();
    }
  }

  plans(): Entry[] {
    return (this.state.studio?.entries ?? []).filter((entry) => !entry.outcome);
  }

  plan(): Entry | null {
    return this.state.studio?.entries.find((entry) => entry.id === this.state.plan) ?? null;
  }


  fresh(list: string, name: string): Promise<{ id: string; code: string }> {
    return this.client.ask<"fresh">({ kind: "fresh", list, name });
  }

  /** What a word means for a run, mm. */
  wordMm(entry: string, word: RunWord): Promise<WordMm> {
    return this.client.ask<"word">({ kind: "word", entry, word });
  }

  /** What a typed text means, in the core's words. */
  read(text: string, quantity: Quantity): Promise<Reading> {
    return this.client.ask<"read">({ kind: "read", text, quantity });
  }

  /** Shows under a field what its text would be taken for. */
  understand(key: string, text: string, quantity: Quantity): void {
    if (text.trim() === "") {
      this.state.understood.delete(key);
      this.#draw();
      return;
    }
    this.read(text, quantity).then(
      (reading) => {
        this.state.understood.set(key, reading.understood);
        this.#draw();
      },
      (error: unknown) => {
        this.state.understood.set(key, wordsOf(error, "Not understood."));
        this.#draw();
      },
    );
  }

  /** Takes a typed text, or says why not. */
  takeText(key: string, text: string, quantity: Quantity, take: (value: number | null) => void): void {
    if (text.trim() === "") {
      this.state.understood.delete(key);
      take(null);
      return;
    }
    this.read(text, quantity).then(
      (reading) => {
        this.state.understood.set(key, reading.understood);
        take(reading.value);
      },
      (error: unknown) => {
        this.state.understood.set(key, wordsOf(error, "Not understood."));
        this.#draw();
      },
    );
  }


  // ---- forms ------------------------------------------------------------------------------------------------

  openDialog(dialog: Omit<FormDialog, "errors" | "understood" | "error" | "first">, first = { ...dialog.values }): void {
    this.state.dialog = { ...dialog, first, errors: {}, understood: {}, error: null };
    this.#draw();
  }

  closeDialog(): void {
    this.state.dialog = null;
    this.#draw();
  }

  /** Closed without saving: what was typed can be brought back. */
  leaveDialog(): void {
    const { dialog } = this.state;
    this.closeDialog();
    if (!dialog || !Object.entries(dialog.values).some(([key, value]) => value !== (dialog.first[key] ?? ""))) return;
    this.say(`“${dialog.title}” was left, and what was typed in it was not taken.`, false, { label: "Bring it back", run: () => this.openDialog(dialog, dialog.first) });
  }

  redraw(): void {
    this.#draw();
  }

  /** Test hook: traps the core's instance, or that of the next helper, as a bug in it would. */
  trap(helper = false): void {
    this.client.ask<"trap">({ kind: "trap", helper }).catch(() => undefined);
  }
}

/** The words of whatever went wrong. */
export function wordsOf(error: unknown, start: string): string {
  if (error instanceof RefusedError) return error.refusals.map((one) => [one.problem, one.remedy, one.place ? `(${one.place})` : ""].filter(Boolean).join(" ")).join(" ");
  return `${start} ${error instanceof Error ? error.message : String(error)}`;
}

function randomLetters(count: number): string {
  const letters = "abcdefghjkmnpqrstuvwxyz23456789";
  return Array.from(crypto.getRandomValues(new Uint8Array(count)), (byte) => letters[byte % letters.length] ?? "a").join("");
}
