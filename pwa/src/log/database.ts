/**
 * The one handle on IndexedDB.
 *
 * 1. Opening has a time limit; a handle that never comes is NotSaved, not a page that hangs.
 * 2. A newer page's upgrade is never held up: on versionchange the handle is closed and dropped.
 * 3. A handle that failed is dropped and opened again for the next caller.
 * 4. Before the first handle, and after the browser itself has ended one, a new file is begun (`scratch.ts`).
 */
import { type Signal, signal } from "@preact/signals";
import { type IDBPDatabase, openDB } from "idb";
import { NotSaved } from "./errors";
import { beginNewFile } from "./scratch";
import { DATABASE, type Stores, VERSION } from "./stores";
import type { LogState } from "./types";

const OPEN_LIMIT_MS = 5_000;

export type Database = IDBPDatabase<Stores>;

export const logState: Signal<LogState> = signal<LogState>("closed");

let opening: Promise<Database> | null = null;
let newFile: Promise<void> | null = null;
let lost = "none";

/** What the browser said on making the database: "total" where it has thrown an older one away (Chromium's word alone). */
export const loss = (): string => lost;

export function database(): Promise<Database> {
  if (opening === null) {
    const mine = openOnNewFile();
    opening = mine;
    mine.catch(() => dropIf(mine, "failed"));
  }
  return opening;
}

/** Forgets the handle, so that the next call opens a new one. */
export async function drop(): Promise<void> {
  const held = opening;
  opening = null;
  logState.value = "closed";
  if (held === null) return;
  try {
    (await held).close();
  } catch {
    // it never opened: there is nothing to close, and its caller has had the error
  }
}

/** The person's "try again" when the log is blocked or has failed. */
export async function reopen(): Promise<void> {
  await drop();
  await database();
}

/** Runs `work` on the database; when the handle turns out dead, once more on a new one. */
export async function withDatabase<T>(work: (db: Database) => Promise<T>): Promise<T> {
  try {
    return await work(await database());
  } catch (error) {
    if (error instanceof NotSaved) throw error;
    await drop();
    return await work(await database());
  }
}

function dropIf(mine: Promise<Database>, state: LogState): void {
  if (opening !== mine) return;
  opening = null;
  if (logState.value !== "blocked") logState.value = state;
}

async function openOnNewFile(): Promise<Database> {
  logState.value = "opening";
  newFile ??= beginNewFile();
  await newFile;
  return openWithLimit();
}

function openWithLimit(): Promise<Database> {
  return new Promise((resolve, reject) => {
    let late = false;
    const limit = setTimeout(() => {
      late = true;
      reject(new NotSaved("this phone's storage did not open in time"));
    }, OPEN_LIMIT_MS);
    open().then(
      (db) => {
        clearTimeout(limit);
        if (late) return db.close();
        logState.value = "open";
        resolve(db);
      },
      (error: unknown) => {
        clearTimeout(limit);
        reject(new NotSaved("this phone's storage did not open", { cause: error }));
      },
    );
  });
}

function open(): Promise<Database> {
  const opened = openDB<Stores>(DATABASE, VERSION, {
    upgrade: (db, from, _to, _tx, event) => {
      lost = (event as { dataLoss?: string }).dataLoss ?? lost;
      if (from < 1) makeStores(db);
    },
    blocked: () => {
      logState.value = "blocked";
    },
    blocking: (_current, _wanted, event) => {
      (event.target as IDBDatabase).close();
      forget();
    },
    terminated: () => {
      newFile = null;
      forget();
    },
  });
  return opened;
}

function forget(): void {
  opening = null;
  logState.value = "closed";
}

function makeStores(db: Database): void {
  const events = db.createObjectStore("events", { keyPath: "event.id" });
  events.createIndex("run", ["event.subject", "event.hlc", "event.id"]);
  events.createIndex("type", ["event.type", "event.hlc", "event.id"]);
  events.createIndex("mine", "mine", { unique: true });
  db.createObjectStore("outbox", { keyPath: "at", autoIncrement: true });
  db.createObjectStore("aside", { keyPath: "id" });
  db.createObjectStore("photos", { keyPath: "sha256" }).createIndex("unsent", "unsent");
  for (const name of ["head", "keys", "reference", "kept"] as const) db.createObjectStore(name);
}
