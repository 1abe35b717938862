/**
 * Giving back to a phone what its database has lost, out of its journal. Loaded only then; it is handed the log's inside.
 *
 * 1. Records come back as they were signed, and are queued for the office as carried ones: it answers what it has as repeats.
 * 2. Where the key is lost, the chain it signed can be continued by nobody. A phone that knows who it was begins another,
 *    under a key and an id of its own, and goes on; the office learns of both when it is enrolled again.
 * 3. Where only the newest records are lost, the chain goes on from the journal's last line.
 */
import type { IDBPTransaction } from "idb";
import type { Inner } from "../inner";
import type { PublicKey } from "../key";
import type { Head, ReferenceRow, Stores } from "../stores";
import type { StoredEvent } from "../types";
import type { Read } from "./protocol";

const CLOCK = "000000000000-0000";
const CURSOR = "0".repeat(16);
const ZERO = "0".repeat(64);
/** What is to be told to the office when this phone is enrolled again. */
const LOST = "lost";
type Lost = {
  readonly at: number;
  /** what the browser said of it */
  readonly loss: string;
  readonly records: number;
  readonly torn: number;
  /** which device this phone was, where that is known */
  readonly was: string | null;
};

type Enrolled = Pick<Head, "device" | "brewery" | "name" | "offset" | "reached">;
type Others = {
  readonly events: readonly StoredEvent[];
  readonly kept: readonly (readonly [string, unknown])[];
};
type Line = { readonly text: string; readonly event: StoredEvent };

/** Takes what is in the journal into the log; the head of the chain that this phone goes on with, null where it must be enrolled. */
export async function recover(page: Inner, read: Read, loss: string): Promise<Head | null> {
  const lines = linesOf(page, read);
  const enrolled = parsed(read.kept.enrolled, isEnrolled);
  const others = parsed(read.kept.others, isOthers) ?? { events: [], kept: [] };
  const { sign, shown } = await page.makeKey();
  const head = await page.withDatabase(async (db) => {
    const tx: Mending = db.transaction(MENDED, "readwrite", { durability: "strict" });
    const old = await tx.objectStore("head").get("mine");
    await giveBack(page, tx, lines, others);
    const reference = parsed(read.kept.reference, isReference);
    if (reference && !(await tx.objectStore("reference").get("current")))
      void tx.objectStore("reference").put(reference, "current");
    const was = enrolled?.device ?? null;
    void tx
      .objectStore("kept")
      .put({ at: Date.now(), loss, records: lines.length, torn: read.torn, was } satisfies Lost, LOST);
    const next = enrolled && begun(page, enrolled, old, lines, others, shown);
    if (next) {
      void tx.objectStore("head").put(next, "mine");
      void tx.objectStore("keys").put(sign, "sign");
    }
    await tx.done;
    return next;
  });
  page.forgetStanding();
  page.tell({ subjects: subjectsOf(lines), made: true });
  return head;
}

const MENDED = ["events", "outbox", "head", "keys", "reference", "kept"] as const;
type Mending = IDBPTransaction<Stores, typeof MENDED, "readwrite">;

async function giveBack(page: Inner, tx: Mending, lines: readonly Line[], others: Others): Promise<void> {
  const [events, outbox] = [tx.objectStore("events"), tx.objectStore("outbox")];
  const held = new Set(await events.getAllKeys());
  const queued = new Set((await outbox.getAll()).map(({ id }) => id));
  for (const event of others.events) if (!held.has(event.id)) void events.put({ event });
  for (const { event, text } of lines) {
    if (held.has(event.id)) continue;
    void events.put({ event });
    if (!queued.has(event.id)) void outbox.add({ id: event.id, text, bytes: page.utf8(text).length });
  }
  for (const [key, value] of others.kept) void tx.objectStore("kept").put(value, key);
}

/** The head of a chain that this phone begins by itself, no earlier than anything it holds. */
function begun(
  page: Inner,
  enrolled: Enrolled,
  old: Head | undefined,
  lines: readonly Line[],
  others: Others,
  key: PublicKey,
): Head {
  const clocks = [...lines.map(({ event }) => event.hlc), old?.hlc ?? CLOCK].sort();
  const places = others.events.map(({ sequence }) => sequence ?? CURSOR).sort();
  return {
    ...enrolled,
    device: page.uuid7(Date.now()),
    number: 0,
    hash: ZERO,
    hlc: clocks.at(-1) ?? CLOCK,
    ...(old ? { cursor: old.cursor, at: old.at, epoch: old.epoch } : { cursor: CURSOR }),
    seen: places.at(-1) ?? CURSOR,
    waits: { was: enrolled.device, key },
  };
}

/** Notes that the browser threw the database away, where no journal can give it back. */
export async function note(page: Inner, loss: string): Promise<void> {
  await page.withDatabase((db) =>
    db.put("kept", { at: Date.now(), loss, records: 0, torn: 0, was: null }, LOST),
  );
}

/** Puts the newest own records back behind `head`; false where they do not follow it, and nothing can go on from it. */
export async function restoreTail(page: Inner, read: Read, head: Head): Promise<boolean> {
  const source = `/devices/${head.device}`;
  const lines = new Map(
    linesOf(page, read)
      .filter(({ event }) => event.source === source && event.number > head.number)
      .map((line) => [line.event.number, line]),
  );
  let { number, hash, hlc } = head;
  const tail: Line[] = [];
  for (let line = lines.get(number + 1); line; line = lines.get(number + 1)) {
    if (line.event.prevhash !== hash) return false;
    tail.push(line);
    ({ number, hlc } = line.event);
    hash = await page.sha256(line.text);
  }
  if (tail.length < lines.size) return false;
  await page.withDatabase(async (db) => {
    const tx = db.transaction(["events", "outbox", "head"], "readwrite", { durability: "strict" });
    const stored = await tx.objectStore("head").get("mine");
    if (stored?.device === head.device && stored.hash === head.hash) {
      for (const { event, text } of tail) {
        void tx.objectStore("events").put({ event, mine: [head.device, event.number] });
        void tx.objectStore("outbox").add({ id: event.id, text, bytes: page.utf8(text).length });
      }
      void tx.objectStore("head").put({ ...stored, number, hash, hlc }, "mine");
    }
    await tx.done;
  });
  page.forgetStanding();
  page.tell({ subjects: subjectsOf(tail), made: true });
  return true;
}

/** The journal's records, each once, a record before those that follow it. */
function linesOf(page: Inner, { lines }: Read): Line[] {
  const found = new Map<string, Line>();
  for (const text of lines) {
    const event: unknown = JSON.parse(text); // the worker has passed over what is no JSON
    if (page.isEvent(event)) found.set(event.id, { text, event });
  }
  return [...found.values()].sort((a, b) => (a.event.hlc + a.event.id < b.event.hlc + b.event.id ? -1 : 1));
}

const subjectsOf = (lines: readonly Line[]): string[] => [
  ...new Set(lines.map(({ event }) => event.subject)),
];

function parsed<T>(text: string | undefined, shape: (value: unknown) => value is T): T | null {
  if (text === undefined) return null;
  const value: unknown = JSON.parse(text);
  return shape(value) ? value : null;
}

const isEnrolled = (value: unknown): value is Enrolled => {
  const { device, brewery, name, offset, reached } = (value ?? {}) as Partial<Enrolled>;
  return (
    [device, brewery, name].every((each) => typeof each === "string") &&
    [offset, reached].every((each) => typeof each === "number")
  );
};
const isReference = (value: unknown): value is ReferenceRow =>
  typeof (value as Partial<ReferenceRow> | null)?.reference === "object";
const isOthers = (value: unknown): value is Others => {
  const { events, kept } = (value ?? {}) as Partial<Others>;
  return Array.isArray(events) && Array.isArray(kept);
};
