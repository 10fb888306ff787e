// The phone's own store. Every write is on disk when it is told as done, and each is one transaction.

const NAME = "slackwater-field";
const VERSION = 1;

export type Shelf = "kept" | "packs" | "writing" | "notes" | "photos" | "told" | "done";

/** The browser keeps nothing more, or gave the store up; what was kept before stays. */
export class StoreError extends Error {}

let opened: Promise<IDBDatabase> | null = null;

function open(): Promise<IDBDatabase> {
  opened ??= new Promise<IDBDatabase>((resolve, reject) => {
    const asking = indexedDB.open(NAME, VERSION);
    asking.onupgradeneeded = () => {
      const db = asking.result;
      db.createObjectStore("kept");
      db.createObjectStore("packs", { keyPath: "id" });
      db.createObjectStore("writing", { keyPath: ["run_id", "code", "field"] });
      const notes = db.createObjectStore("notes", { keyPath: "n", autoIncrement: true });
      notes.createIndex("by_id", "note.id", { unique: true });
      notes.createIndex("by_state", "state");
      notes.createIndex("by_field", ["note.run_id", "note.code", "note.field"]);
      db.createObjectStore("photos", { keyPath: "note_id" });
      db.createObjectStore("told", { keyPath: "run_id" });
      db.createObjectStore("done", { keyPath: ["run_id", "code"] });
    };
    asking.onsuccess = () => {
      asking.result.onclose = () => (opened = null);
      asking.result.onversionchange = () => {
        asking.result.close();
        opened = null;
      };
      resolve(asking.result);
    };
    asking.onerror = () => {
      opened = null;
      reject(asking.error ?? new Error("the phone's store cannot be opened"));
    };
  });
  return opened;
}

/** Does some work in one transaction; told once it is committed, or not at all. */
export async function transact<Result>(
  shelves: readonly Shelf[],
  mode: "readonly" | "readwrite",
  work: (on: (shelf: Shelf) => IDBObjectStore) => Promise<Result>,
): Promise<Result> {
  const db = await open();
  const doing = db.transaction(shelves, mode, { durability: "strict" });
  const ended = new Promise<void>((resolve, reject) => {
    doing.oncomplete = () => resolve();
    doing.onabort = () => reject(doing.error ?? new Error("the phone's store wrote nothing"));
  });
  ended.catch(() => undefined);
  try {
    const result = await work((shelf) => doing.objectStore(shelf));
    await ended;
    return result;
  } catch (error) {
    try {
      doing.abort();
    } catch {
      // it has ended already
    }
    throw error instanceof DOMException ? new StoreError(error.message || error.name, { cause: error }) : error;
  }
}

/** What a request of a transaction gives. */
export function got<Result>(request: IDBRequest<Result>): Promise<Result> {
  return new Promise((resolve, reject) => {
    request.onsuccess = () => resolve(request.result);
    request.onerror = () => reject(request.error ?? new Error("the phone's store refused"));
  });
}

export function recall<Value>(name: string): Promise<Value | undefined> {
  return transact(["kept"], "readonly", (on) => got<Value | undefined>(on("kept").get(name)));
}

export async function remember(name: string, value: unknown): Promise<void> {
  await transact(["kept"], "readwrite", (on) => got(on("kept").put(value, name)));
}
