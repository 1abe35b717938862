/**
 * Beginning again from an earlier place, loaded only when it is needed: for one run that the server lacks a part of, or
 * for the whole log when the server was put back to a copy of it.
 *
 * Then the server's own events above what is shared are taken out and kept to be brought back to it, and every record
 * that may lie above is queued again. Records themselves stay as they were signed; what the server had put to them,
 * their place and the time of receipt, is no longer so and is taken off.
 *
 * It is handed what it needs of the page: an import of it would have the bundler split the page's own code in two.
 */
import type { IDBPTransaction } from "idb";
import type { Database } from "./database";
import type { Inner } from "./inner";
import type { EventRow, OutboxRow, Stores } from "./stores";
import type { JsonObject, PushResult, StoredEvent } from "./types";

const RETURNING = "returning";
const ZERO = "0".repeat(16);
const [ADMIN, SERVER] = ["/admin", "/server"];
const AT_ONCE = 100;
/** Room in an exchange for what the events that return speak of. */
const BYTES = 150_000;

/** What is to be brought back; `refused` names the life of the log that would not have it. */
type Returning = { readonly refused?: string | undefined; readonly events: readonly StoredEvent[] };

/** Queues again what is held of a run but not among `known`: the server has lost it. Answers how many. */
export async function queueMissing(page: Inner, run: string, known: ReadonlySet<string>): Promise<number> {
  const queued = await page.withDatabase(async (db) => {
    const tx = requeuing(db);
    const rows = await tx
      .objectStore("events")
      .index("run")
      .getAll(page.subjectRange(page.runSubject(run)));
    const count = await queueAgain(page, tx, rows, known);
    await tx.done;
    return count;
  });
  if (queued > 0) page.tell({ subjects: [], made: true });
  return queued;
}

/**
 * Goes back to `shared` and begins there again in the life `epoch` of the log; with neither to the very start, since
 * the server only said that our cursor lies beyond its log. False when already there.
 */
export async function goBack(page: Inner, shared = ZERO, epoch?: string): Promise<boolean> {
  const went = await page.withDatabase(async (db) => {
    const tx = requeuing(db);
    const head = await tx.objectStore("head").get("mine");
    const there = head?.cursor === shared && head.at === undefined && (head.epoch === epoch || !epoch);
    const back = head !== undefined && !there;
    if (back) {
      const brings = await takeOut(page, tx, shared);
      await unsend(page, tx, shared);
      const { at: _at, ...rest } = head;
      void tx.objectStore("head").put({ ...rest, cursor: shared, epoch, brings }, "mine");
    }
    await tx.done;
    return back;
  });
  if (went) {
    page.forgetStanding();
    page.tell({ subjects: [ADMIN], made: true });
  }
  return went;
}

const REQUEUING = ["events", "outbox", "aside", "head", "kept", "photos"] as const;
type Requeuing = IDBPTransaction<Stores, typeof REQUEUING, "readwrite">;

const requeuing = (db: Database): Requeuing =>
  db.transaction(REQUEUING, "readwrite", { durability: "strict" });

const above = ({ sequence }: StoredEvent, shared: string): boolean =>
  sequence === undefined || sequence > shared;

/** The server's events above `shared` leave the log and wait to be brought back. */
async function takeOut(page: Inner, tx: Requeuing, shared: string): Promise<boolean> {
  const events = tx.objectStore("events");
  const kept = tx.objectStore("kept");
  const admin = await events.index("run").getAll(page.subjectRange(ADMIN));
  const rows = admin.filter((row) => row.of === undefined).map((row) => row.event);
  const gone = rows.filter((event) => event.source === SERVER && above(event, shared));
  const held = ((await kept.get(RETURNING)) as Returning | undefined)?.events ?? [];
  const all = new Map([...held, ...gone.map(bare)].map((event) => [event.id, event]));
  const inOrder = [...all.values()].sort((a, b) => a.number - b.number);
  void kept.put({ events: inOrder } satisfies Returning, RETURNING);
  for (const event of gone) void events.delete(event.id);
  return inOrder.length > 0;
}

/** Records above `shared`, with those of which nobody here knows where they lay, and their photos, are unsent. */
async function unsend(page: Inner, tx: Requeuing, shared: string): Promise<void> {
  const events = tx.objectStore("events");
  const aside = tx.objectStore("aside");
  for (const row of await aside.getAll()) if (row.kind === "quarantined") void aside.delete(row.id);
  const admin = await events.index("run").getAll(page.subjectRange(ADMIN));
  const all = [
    ...(await events.index("run").getAll(page.everyRun())),
    ...admin.filter(({ event }) => event.source !== SERVER),
  ];
  const rows = all.filter((row) => row.of === undefined && above(row.event, shared));
  for (const row of rows) if (row.event.sequence) void events.put({ ...row, event: bare(row.event) });
  // in one order with what waits already: a record goes before those that follow it
  const outbox = tx.objectStore("outbox");
  const ids = new Set(rows.map((row) => row.event.id));
  const others = (await outbox.getAll()).filter((row) => !ids.has(row.id));
  void outbox.clear();
  for (const { id, text, bytes } of others) void outbox.add({ id, text, bytes });
  await queueAgain(page, tx, rows, new Set());
  const photos = tx.objectStore("photos");
  for (const { event } of rows) {
    if (event.type !== "photo.added" || typeof event.data.sha256 !== "string") continue;
    const photo = await photos.get(event.data.sha256);
    if (photo) void photos.put({ ...photo, unsent: 1 });
  }
}

function bare(event: StoredEvent): StoredEvent {
  const { sequence: _sequence, recordedtime: _recordedtime, ...signed } = event;
  return signed;
}

async function queueAgain(
  page: Inner,
  tx: Requeuing,
  rows: readonly EventRow[],
  known: ReadonlySet<string>,
): Promise<number> {
  const outbox = tx.objectStore("outbox");
  const waiting = (await outbox.getAll()).map((row) => row.id);
  const left = new Set([...known, ...waiting, ...(await tx.objectStore("aside").getAllKeys())]);
  const here = rows.filter((row) => row.of === undefined);
  const missing = here.map((row) => row.event).filter((event) => !left.has(event.id));
  missing.sort((a, b) => (a.hlc + a.id < b.hlc + b.id ? -1 : 1));
  for (const event of missing) {
    const text = page.chainText(event);
    void outbox.add({ id: event.id, text, bytes: page.utf8(text).length });
  }
  return missing.length;
}

/** The oldest of what is to be brought back in the life `epoch` of the log; none when that life would not have it. */
export async function returning(page: Inner, epoch: string | undefined): Promise<readonly StoredEvent[]> {
  const held = await page.withDatabase((db) => db.get("kept", RETURNING) as Promise<Returning | undefined>);
  if (!held || (held.refused !== undefined && held.refused === epoch)) return [];
  const first = held.events.slice(0, AT_ONCE);
  let sum = 0;
  const end = first.findIndex((event, at) => {
    sum += page.utf8(page.chainText(event)).length;
    return sum > BYTES && at > 0;
  });
  return end < 0 ? first : first.slice(0, end);
}

/** Notes what the server took back. What it would not have stays, for another life of the log. */
export async function brought(
  page: Inner,
  results: readonly PushResult[],
  epoch: string | undefined,
): Promise<void> {
  const named = new Map(results.map(({ id, status }) => [id, status]));
  await page.withDatabase(async (db) => {
    const tx = db.transaction(["kept", "head"], "readwrite", { durability: "strict" });
    const held = (await tx.objectStore("kept").get(RETURNING)) as Returning | undefined;
    const left = (held?.events ?? []).filter(({ id }) => (named.get(id) ?? "refused") === "refused");
    // one that is refused keeps those behind it from being taken: they follow it
    const stuck = results.length === 0 || results.some(({ status }) => status === "refused");
    void tx.objectStore("kept").put({ events: left, ...(stuck ? { refused: epoch } : {}) }, RETURNING);
    const head = await tx.objectStore("head").get("mine");
    if (head) void tx.objectStore("head").put({ ...head, brings: left.length > 0 && !stuck }, "mine");
    await tx.done;
  });
  page.forgetStanding();
}

/** Every event of the server that is held, in the log or waiting to be brought back. */
export async function ofServer(page: Inner): Promise<readonly StoredEvent[]> {
  return page.withDatabase(async (db) => {
    const rows = await db.getAllFromIndex("events", "run", page.subjectRange(ADMIN));
    const waiting = ((await db.get("kept", RETURNING)) as Returning | undefined)?.events ?? [];
    return [...rows.map((row) => row.event), ...waiting].filter((event) => event.source === SERVER);
  });
}

/** This device's signature over a claim about itself. */
export async function word(page: Inner, claim: JsonObject): Promise<string> {
  return page.sign((await page.standing()).key, page.canonical(claim));
}

/** Has one record wait behind all others. */
export async function toTheEnd(page: Inner, { at, id, text, bytes }: OutboxRow): Promise<void> {
  await page.withDatabase(async (db) => {
    const tx = db.transaction("outbox", "readwrite", { durability: "strict" });
    if (at !== undefined && (await tx.store.get(at))?.id === id) {
      void tx.store.delete(at);
      void tx.store.add({ id, text, bytes });
    }
    await tx.done;
  });
}

/** Takes one record out of the queue as refused: it stays in the log, is shown, and holds up nothing. */
export async function setAside(page: Inner, row: OutboxRow, problem: string): Promise<void> {
  await page.withDatabase(async (db) => {
    const tx = db.transaction(["outbox", "aside"], "readwrite", { durability: "strict" });
    if (row.at !== undefined) void tx.objectStore("outbox").delete(row.at);
    void tx.objectStore("aside").put({ id: row.id, kind: "refused", problem, at: Date.now() });
    await tx.done;
  });
  page.tell({ subjects: [], made: false });
}
