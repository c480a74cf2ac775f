// Keeping the studio: every change into the browser's store, confirmed or said; the file on disk; one writing tab.
// Takes the app; writes in order, one after another, and tells the state how it stands.

import type { App } from "../app.ts";
import { wordsOf } from "../app.ts";
import { openDatabase, pageGet, pagePut, readAll, writeAll, writeChanges, type Change, type Database, type Kept } from "./db.ts";
import { chooseFile, download, fileName, writeFile } from "./file.ts";
import { joinTabs, type Tabs } from "./tabs.ts";

/** The chosen file is written this long after the last change, ms. */
const FILE_AFTER_MS = 400;

export class Keeper {
  #db: Database | null = null;
  #tabs: Tabs | null = null;
  #writing: Promise<void> = Promise.resolve();
  #pending = 0;
  /** A change could not be written: the next one writes all. */
  #behind = false;
  #file: FileSystemFileHandle | null = null;
  /** What was typed in the kiln log and not kept yet, as it came out of the store. */
  drafts: unknown = null;
  #soon: ReturnType<typeof setTimeout> | undefined;

  constructor(private readonly app: App) {}

  /** Opens the store; gives what was kept in it, if anything. */
  async open(): Promise<Kept | null> {
    const { state } = this.app;
    try {
      this.#db = await openDatabase(() => this.stop("the store was closed, by a newer version of this page or by the browser; reload to go on saving"));
      const kept = await readAll(this.#db);
      const [plan, saved, since, drafts] = await Promise.all([pageGet(this.#db, "plan"), pageGet(this.#db, "file_saved_ms"), pageGet(this.#db, "since_file"), pageGet(this.#db, "drafts")]);
      this.drafts = drafts;
      if (typeof plan === "string") state.plan = plan;
      if (typeof saved === "number") state.fileSavedMs = saved;
      if (typeof since === "number") state.sinceFile = since;
      return kept;
    } catch (error) {
      this.#refuse(error);
      return null;
    }
  }

  /** What is in the store now. */
  read(): Promise<Kept | null> {
    return this.#db ? readAll(this.#db).catch(() => null) : Promise.resolve(null);
  }

  /** One tab writes, the others follow: `follow` is called when there is something new to read. */
  join(follow: () => void): void {
    const { state } = this.app;
    this.#tabs = joinTabs(
      (role) => {
        const before = state.role;
        state.role = role;
        if (role === "writer" && before === "follower") follow();
        this.app.redraw();
      },
      () => {
        if (state.role === "follower") follow();
      },
    );
    navigator.storage?.persisted?.().then((yes) => this.#persisted(yes), () => undefined);
  }

  takePen(): void {
    this.#tabs?.take();
  }

  askToPersist(): void {
    navigator.storage?.persist?.().then((yes) => this.#persisted(yes), () => undefined);
  }

  #persisted(yes: boolean): void {
    this.app.state.persisted = yes;
    this.app.redraw();
  }

  /** Nothing is written any more, so that nothing is written over. */
  stop(why: string): void {
    this.#db = null;
    this.app.state.save = { kind: "refused", why };
    this.app.redraw();
  }

  #refuse(error: unknown): void {
    const name = error instanceof DOMException ? error.name : "";
    const why = name === "QuotaExceededError" ? "the disk space that the browser allows is full" : name === "SecurityError" || name === "InvalidStateError" ? "the browser does not let this page keep anything" : error instanceof Error ? error.message : String(error);
    this.app.state.save = { kind: "refused", why };
    this.app.redraw();
  }

  /** From here until what it gives is called, something is on its way to the disk. */
  hold(): () => void {
    const { state } = this.app;
    this.#pending += 1;
    if (this.#db) state.save = { kind: "saving" };
    let held = true;
    return () => {
      if (!held) return;
      held = false;
      this.#pending -= 1;
      if (this.#pending === 0 && state.save.kind === "saving") state.save = { kind: "saved" };
      if (this.#file && this.#pending === 0) {
        clearTimeout(this.#soon);
        this.#soon = setTimeout(() => void this.#followFile(), FILE_AFTER_MS);
      }
      this.app.redraw();
    };
  }

  /** Writes after all that was to be written before; what fails is said. */
  #write(act: (db: Database) => Promise<unknown>): Promise<void> {
    const db = this.#db;
    if (!db) return Promise.resolve();
    const release = this.hold();
    this.#writing = this.#writing.then(async () => {
      try {
        await (this.#behind ? this.#writeAll(db) : act(db));
        this.#behind = false;
        this.#tabs?.tell();
      } catch (error) {
        this.#behind = true;
        this.#refuse(error);
      }
      release();
    });
    return this.#writing;
  }

  /** Keeps what one edit changed. */
  changes(head: string | null, changed: readonly Change[]): void {
    void this.#write((db) => writeChanges(db, head, changed));
  }

  /** Keeps another studio in place of the one before; the file that followed that one is left as it is. */
  async all(): Promise<void> {
    this.#file = null;
    this.app.state.current = null;
    this.sinceFile(0);
    return this.#write((db) => this.#writeAll(db));
  }

  async #writeAll(db: Database): Promise<void> {
    const { head, records } = await this.app.client.ask<"records">({ kind: "records" });
    await writeAll(db, head, records);
  }

  /** Keeps something small of the page itself. */
  forPage(key: string, value: unknown): void {
    if (this.#db && this.app.state.role === "writer") void pagePut(this.#db, key, value).catch(() => undefined);
  }

  // ---- the file on disk -------------------------------------------------------------------------------------

  /** The studio as it is to be saved; its photographs only where that was chosen. */
  #document(): Promise<string> {
    const { client, state, studio } = this.app;
    const asked = studio.photos || !state.studio?.photos.length ? client.ask<"document">({ kind: "document" }) : client.call("document_without_photos");
    return asked.catch(() => JSON.stringify(state.studio, null, 1));
  }

  async saveFile(): Promise<void> {
    const { studio } = this.app.state;
    if (!studio) return;
    download(fileName(studio.name, new Date()), await this.#document());
    this.#fileSaved();
  }

  #fileSaved(): void {
    this.app.state.fileSavedMs = Date.now();
    this.forPage("file_saved_ms", this.app.state.fileSavedMs);
    this.sinceFile(0);
    this.app.redraw();
  }

  /** Entries read and weigh-ins made since a file was saved. */
  sinceFile(count: number): void {
    this.app.state.sinceFile = count;
    this.forPage("since_file", count);
  }

  /** A file on disk that follows every change from here on. */
  async chooseFile(): Promise<void> {
    try {
      this.#file = await chooseFile(fileName(this.app.state.studio?.name ?? "", new Date()));
      this.app.state.current = this.#file.name;
      await this.#followFile();
    } catch (error) {
      if (!(error instanceof DOMException && error.name === "AbortError")) this.app.say(wordsOf(error, "That file could not be written."), true);
    }
    this.app.redraw();
  }

  /** Writes the chosen file, once for changes that come close together. */
  async #followFile(): Promise<void> {
    const file = this.#file;
    if (!file) return;
    try {
      await writeFile(file, await this.#document());
      this.#fileSaved();
    } catch (error) {
      this.#file = null;
      this.app.state.current = null;
      this.app.say(wordsOf(error, `${file.name} is no longer kept current.`), true);
    }
  }
}
