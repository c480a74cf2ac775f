// The studio in IndexedDB: one record per key, each change one transaction, confirmed when it is on disk.
// Takes what an edit changed; gives it back in the same order after a reload.

import { openDB, type DBSchema, type IDBPDatabase, type IDBPTransaction } from "idb";

/** One record that an edit put or took away: its JSON as the core wrote it. */
export interface Change { list: string; id: string; json: string | null }

/** What was kept: everything that is not a record, and the records in their order. */
export interface Kept { head: string; records: [list: string, id: string, json: string][] }

/** A record that was taken out leaves its place (`json` null), so that taking it back puts it where it was. */
interface Row { key: string; list: string; at: number; json: string | null }

interface Shape extends DBSchema {
  records: { key: string; value: Row; indexes: { at: number } };
  head: { key: "studio"; value: string };
  page: { key: string; value: unknown };
}

export type Database = IDBPDatabase<Shape>;

/** Opens the database; a refusal is the caller's to tell. `moved` is called when it was closed from outside. */
export function openDatabase(moved: () => void): Promise<Database> {
  return openDB<Shape>("glazefall", 1, {
    upgrade(db) {
      db.createObjectStore("records", { keyPath: "key" }).createIndex("at", "at");
      db.createObjectStore("head");
      db.createObjectStore("page");
    },
    blocking(_now, _next, event) {
      (event.target as IDBDatabase).close();
      moved();
    },
    terminated: moved,
  });
}

const keyOf = (list: string, id: string): string => `${list}/${id}`;

type Writing = IDBPTransaction<Shape, ["records", "head"], "readwrite">;

/** One transaction, all or nothing; resolves when it is confirmed. What goes wrong in `act`, be it that something cannot even be asked for, takes all of it back. */
async function whole(db: Database, act: (tx: Writing) => Promise<unknown>): Promise<void> {
  const tx = db.transaction(["records", "head"], "readwrite", { durability: "strict" });
  const failed = act(tx).catch((error: unknown) => {
    try {
      tx.abort();
    } catch {
      // A request that failed has taken it back already.
    }
    throw error;
  });
  await Promise.all([tx.done, failed]);
}

/** A request, refused alike whether it fails or cannot even be made. */
const asked = async (request: () => Promise<unknown>): Promise<unknown> => request();

/** Puts a whole studio in place of what was there, all or nothing; resolves when it is confirmed. */
export const writeAll = (db: Database, head: string, records: readonly Change[]): Promise<void> => whole(db, async (tx) => {
  const [store, heads] = [tx.objectStore("records"), tx.objectStore("head")];
  await Promise.all([
    asked(() => store.clear()),
    asked(() => heads.put(head, "studio")),
    ...records.flatMap(({ list, id, json }, at) => (json === null ? [] : [asked(() => store.put({ key: keyOf(list, id), list, at, json }))])),
  ]);
});

/** Writes what one edit changed, all or nothing; resolves when it is confirmed. */
export const writeChanges = (db: Database, head: string | null, changes: readonly Change[]): Promise<void> => whole(db, async (tx) => {
  const store = tx.objectStore("records");
  for (const { list, id, json } of changes) {
    const key = keyOf(list, id);
    const before = await store.get(key);
    const last = before ?? (await store.index("at").openCursor(null, "prev"))?.value;
    await store.put({ key, list, at: before ? before.at : (last?.at ?? -1) + 1, json });
  }
  if (head !== null) await tx.objectStore("head").put(head, "studio");
});

/** What was kept, or null where nothing was. */
export async function readAll(db: Database): Promise<Kept | null> {
  const tx = db.transaction(["records", "head"], "readonly");
  const [head, rows] = await Promise.all([tx.objectStore("head").get("studio"), tx.objectStore("records").index("at").getAll()]);
  await tx.done;
  return head === undefined ? null : { head, records: rows.flatMap((row): Kept["records"] => (row.json === null ? [] : [[row.list, row.key.slice(row.list.length + 1), row.json]])) };
}

/** What was kept as one document; null where its head is no object. */
export function joined({ head, records }: Kept): string | null {
  const open = head.trimEnd().slice(0, -1).trimEnd();
  if (!head.trimEnd().endsWith("}") || open.endsWith("{")) return null;
  const lists = new Map<string, string[]>();
  for (const [list, , json] of records) {
    const of = lists.get(list);
    if (of) of.push(json);
    else lists.set(list, [json]);
  }
  return `${open}${[...lists].map(([list, jsons]) => `,${JSON.stringify(list)}:[${jsons.join(",")}]`).join("")}}`;
}

/** Small things of the page itself: which plan is open, when the file was last saved. */
export const pageGet = (db: Database, key: string): Promise<unknown> => db.get("page", key);
export const pagePut = (db: Database, key: string, value: unknown): Promise<unknown> => db.put("page", value, key);
