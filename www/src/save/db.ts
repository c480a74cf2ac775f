// The studio in IndexedDB: one record per key, each change one transaction, confirmed when it is on disk.
// Takes what an edit changed; gives it back in the same order after a reload.

/** One record that an edit put or took away: its JSON as the core wrote it. */
export interface Change { list: string; id: string; json: string | null }

/** What was kept: everything that is not a record, and the records in their order. */
export interface Kept { head: string; records: [list: string, id: string, json: string][] }

/** A record that was taken out leaves its place (`json` null), so that taking it back puts it where it was. */
interface Row { key: string; list: string; at: number; json: string | null }

export type Database = IDBDatabase;

/** What a request gives. */
const asked = <T>(request: IDBRequest<T>): Promise<T> => new Promise((take, refuse) => {
  request.onsuccess = () => take(request.result);
  request.onerror = () => refuse(request.error);
});

/** Opens the database; a refusal is the caller's to tell. `moved` is called when it was closed from outside. */
export async function openDatabase(moved: () => void): Promise<Database> {
  const opening = indexedDB.open("glazefall", 1);
  opening.onupgradeneeded = () => {
    const db = opening.result;
    db.createObjectStore("records", { keyPath: "key" }).createIndex("at", "at");
    db.createObjectStore("head");
    db.createObjectStore("page");
  };
  const db = await asked(opening);
  db.onversionchange = () => {
    db.close();
    moved();
  };
  db.onclose = moved;
  return db;
}

/** One transaction, all or nothing; resolves when it is confirmed. What goes wrong in `act` takes all of it back. */
async function within(db: Database, act: (records: IDBObjectStore, head: IDBObjectStore) => unknown): Promise<void> {
  const tx = db.transaction(["records", "head"], "readwrite", { durability: "strict" });
  const confirmed = new Promise<void>((take, refuse) => {
    tx.oncomplete = () => take();
    tx.onabort = () => refuse(tx.error);
  });
  try {
    await act(tx.objectStore("records"), tx.objectStore("head"));
  } catch (error) {
    confirmed.catch(() => undefined);
    // A request that failed has taken it back already.
    if (!tx.error) tx.abort();
    throw error;
  }
  return confirmed;
}

const keyOf = (list: string, id: string): string => `${list}/${id}`;

/** Puts a whole studio in place of what was there, all or nothing; resolves when it is confirmed. */
export const writeAll = (db: Database, head: string, records: readonly Change[]): Promise<void> => within(db, (store, heads) => {
  store.clear();
  heads.put(head, "studio");
  records.forEach(({ list, id, json }, at) => {
    if (json !== null) store.put({ key: keyOf(list, id), list, at, json } satisfies Row);
  });
});

/** Writes what one edit changed, all or nothing; resolves when it is confirmed. */
export const writeChanges = (db: Database, head: string | null, changes: readonly Change[]): Promise<void> => within(db, async (store, heads) => {
  for (const { list, id, json } of changes) {
    const key = keyOf(list, id);
    const before = (await asked(store.get(key))) as Row | undefined;
    const last = before ?? ((await asked(store.index("at").openCursor(null, "prev")))?.value as Row | undefined);
    await asked(store.put({ key, list, at: before ? before.at : (last?.at ?? -1) + 1, json } satisfies Row));
  }
  if (head !== null) await asked(heads.put(head, "studio"));
});

/** What was kept, or null where nothing was. */
export async function readAll(db: Database): Promise<Kept | null> {
  const tx = db.transaction(["records", "head"], "readonly");
  const [head, rows] = await Promise.all([asked<unknown>(tx.objectStore("head").get("studio")), asked<Row[]>(tx.objectStore("records").index("at").getAll())]);
  return typeof head !== "string" ? null : { head, records: rows.flatMap((row): Kept["records"] => (row.json === null ? [] : [[row.list, row.key.slice(row.list.length + 1), row.json]])) };
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
const page = (db: Database, mode: IDBTransactionMode): IDBObjectStore => db.transaction("page", mode).objectStore("page");
export const pageGet = async (db: Database, key: string): Promise<unknown> => asked<unknown>(page(db, "readonly").get(key));
export const pagePut = async (db: Database, key: string, value: unknown): Promise<unknown> => asked(page(db, "readwrite").put(value, key));
