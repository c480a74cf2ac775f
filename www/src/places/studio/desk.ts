// What can be done with the studio as a whole: what is known drawn, tables and other copies taken in and given out.
// Takes files and intents; asks the core, and changes the document only after what was understood has been shown.

import type { App } from "../../app.ts";
import { wordsOf } from "../../app.ts";
import type { Earlier, Picture, Table } from "../../core/protocol.ts";
import type { Conflict, Learned, MergeDone, TableRead } from "../../core/types.ts";
import type { Edit, StudioRecord } from "../../mirror.ts";
import { download, FILE_LIMIT_BYTES, fileName } from "../../save/file.ts";
import { plural } from "../../ui/format.ts";

export interface Known { glazes: Picture; pairs?: Picture; hands: Picture; firings: Picture; reliability?: Picture }

/** From so many entries on it takes long to learn what was known before the last firing: only when asked. */
const ASK_FROM = 2000;

export class StudioDesk {
  known: Known | null = null;
  /** What the newest firing taught: undefined while that is being worked out, null where there is none. */
  earlier: Earlier | null | undefined;
  /** It takes long, and was asked for. */
  wanted = false;
  /** A table that was understood and waits to be taken. */
  table: { which: Table; name: string; read: TableRead } | null = null;
  merged: { name: string; done: MergeDone } | null = null;
  comma = false;
  photos = false;
  #drawn = "";
  #learned = 0;
  #width = 0;

  constructor(private readonly app: App) {}

  heard(_learned: Learned): void {
    this.#learned += 1;
    this.wanted = false;
  }

  /** Whether what the newest firing taught takes too long to be worked out unasked. */
  takesLong(learned: Learned): boolean {
    return learned.entries >= ASK_FROM && !this.wanted;
  }

  /** Asks for it all the same. */
  want(): void {
    this.wanted = true;
    this.#drawn = "";
    this.app.redraw();
  }

  /** Asks for the pictures of what is known, where they are not there yet in this width. */
  show(width: number): void {
    this.#width = width;
    this.refresh();
  }

  /** Asks again where something has been learned since. */
  refresh(): void {
    const width = this.#width;
    if (width === 0) return;
    const key = `${this.#learned} ${width} ${this.app.state.studio?.settings.units}`;
    const { learned } = this.app.state;
    if (this.#drawn === key || !learned) return;
    this.#drawn = key;
    this.earlier = undefined;
    if (!this.takesLong(learned)) this.app.client.latest<"earlier">("earlier", { kind: "earlier", width }, (earlier) => {
      this.earlier = earlier;
      this.app.redraw();
    }, () => {
      this.earlier = null;
    });
    this.app.client.call("known", width).then((known) => {
      this.known = known;
      this.app.redraw();
    }, () => undefined);
  }

  // ---- tables -----------------------------------------------------------------------------------------------

  async tableOut(which: Table): Promise<void> {
    const text = await this.app.client.call("table_out", which, this.comma);
    // The mark at the beginning tells a spreadsheet that the text is UTF-8.
    download(fileName(`${this.app.state.studio?.name ?? ""} ${which === "log" ? "log" : "weigh-ins"}`, new Date(), "csv"), `\ufeff${text}`, "text/csv");
  }

  /** Understands a table, as the log or the weigh-ins, whichever it has more columns of. */
  async tableIn(file: File): Promise<void> {
    if (file.size > FILE_LIMIT_BYTES) {
      this.app.say(`${file.name} is larger than 50 MB, more than any log needs. Nothing was taken.`, true);
      return;
    }
    const text = decode(await file.arrayBuffer());
    const tables: Table[] = ["log", "weigh_ins"];
    const reads = await Promise.allSettled(tables.map((which) => this.app.client.call("table_in", which, text)));
    let best: StudioDesk["table"] = null;
    reads.forEach((one, i) => {
      const known = (read: TableRead): number => read.columns.filter((column) => column.taken_for !== null).length;
      const which = tables[i];
      if (which && one.status === "fulfilled" && (!best || known(one.value) > known(best.read))) best = { which, name: file.name, read: one.value };
    });
    const [first] = reads;
    if (!best && first?.status === "rejected") this.app.say(`${file.name}: ${wordsOf(first.reason, "it is no table.")}`, true);
    this.table = best;
    this.app.redraw();
  }

  async takeTable(): Promise<void> {
    const { table } = this;
    if (!table) return;
    const edit = JSON.parse(table.read.edit) as Edit;
    if (await this.app.edit(edit, `taking in ${table.name}`)) {
      this.table = null;
      this.app.say(`Taken in from ${table.name}: ${table.read.new} new, ${table.read.changed} changed.`, false, { label: "Undo", run: () => void this.app.takeBack("undo") });
    }
  }

  leaveTable(): void {
    this.table = null;
    this.app.redraw();
  }

  // ---- another copy -----------------------------------------------------------------------------------------

  async merge(file: File): Promise<void> {
    try {
      const done = await this.app.client.call("merge", await file.text());
      await this.app.done(`merging ${file.name}`, done.applied);
      this.merged = { name: file.name, done };
      const { new: fresh, newer, removed, conflicts } = done;
      this.app.say(`Merged ${file.name}: ${fresh} new, ${newer} newer, ${removed} removed${conflicts.length > 0 ? `, ${plural(conflicts.length, "conflict")} listed under Keeping` : ""}.`, false, { label: "Undo", run: () => void this.app.takeBack("undo") });
    } catch (error) {
      this.app.say(`${file.name}: ${wordsOf(error, "It could not be merged.")} Nothing was changed.`, true);
    }
    this.app.redraw();
  }

  /** The copy of a conflict that was not taken, instead. */
  other(conflict: Conflict): void {
    const json = conflict.theirs_taken ? conflict.ours : conflict.theirs;
    if (!conflict.list || json === null) return;
    const record = { ...(JSON.parse(json) as StudioRecord), changed_ms: Date.now() } as StudioRecord;
    void this.app.edit({ kind: "put", list: conflict.list, record }, "the other copy").then((done) => {
      if (!done || !this.merged) return;
      this.merged = { ...this.merged, done: { ...this.merged.done, conflicts: this.merged.done.conflicts.filter((one) => one !== conflict) } };
      this.app.redraw();
    });
  }
}

/** UTF-8 where it is that, else what older spreadsheets write. */
function decode(bytes: ArrayBuffer): string {
  try {
    return new TextDecoder("utf-8", { fatal: true }).decode(bytes);
  } catch {
    return new TextDecoder("windows-1252").decode(bytes);
  }
}
