/**
 * Taking out of this phone what a redaction says, loaded only when there is one.
 *
 * The event stays where it was in its chain and keeps its hash, as `redacted`, since its bytes no longer make it. What
 * was said goes from the record, from the queue (the office holds the record already) and from the views that are kept.
 *
 * It is handed what it needs of the page: an import of it would have the bundler split the page's own code in two.
 */
import type { IDBPTransaction } from "idb";
import type { Inner } from "./inner";
import type { EventRow, Stores } from "./stores";
import type { Json, JsonObject, StoredEvent } from "./types";

const KIND = "event.redacted";
/** As the one field: all that the record said, wherever it said it. */
const ALL = "*";

type Said = {
  readonly event: string;
  readonly hash: string;
  readonly fields: readonly string[];
  readonly put: string;
  readonly photo?: string;
};

/** Takes out what the redactions among these events name; answers the hashes of the photos that went. */
export async function takeOut(page: Inner, events: readonly StoredEvent[]): Promise<readonly string[]> {
  const log = (await page.headNow())?.brewery;
  const said = events.filter((event) => event.type === KIND && event.log === log).flatMap(readSaid);
  const left = new Map<string, StoredEvent>();
  for (const one of said) {
    const row = await page.withDatabase((db) => db.get("events", one.event));
    if (row && (await standsWhole(page, row, one))) left.set(one.event, leftOf(row.event, one));
  }
  const photos = said.flatMap(({ photo }) => photo ?? []);
  const runs = new Set([...left.values()].map(({ subject }) => subject.slice("/runs/".length)));
  await page.withDatabase(async (db) => {
    const tx = db.transaction(TAKEN_FROM, "readwrite", { durability: "strict" });
    await putLeft(tx, left);
    for (const photo of photos) void tx.objectStore("photos").delete(photo);
    const views = [...runs].flatMap((run) => [`view:${run}`, `life:${run}`]);
    for (const name of views.length > 0 ? [...views, "board"] : []) void tx.objectStore("kept").delete(name);
    await tx.done;
  });
  if (left.size > 0) await page.ask({ do: "without", ids: [...left.keys()] });
  if (runs.size > 0) page.tell({ subjects: [...runs].map(page.runSubject), made: false, again: true });
  return photos;
}

const TAKEN_FROM = ["events", "outbox", "photos", "kept"] as const;
type Taking = IDBPTransaction<Stores, typeof TAKEN_FROM, "readwrite">;

/** What is left of records takes their place; the queue holds them no more. */
async function putLeft(tx: Taking, left: ReadonlyMap<string, StoredEvent>): Promise<void> {
  const events = tx.objectStore("events");
  for (const [id, event] of left) {
    const row = await events.get(id);
    if (row) void events.put({ ...row, event: { ...event, ...placeOf(row) } });
  }
  const outbox = tx.objectStore("outbox");
  for (const { at, id } of await outbox.getAll())
    if (at !== undefined && left.has(id)) void outbox.delete(at);
}

function readSaid({ data }: StoredEvent): Said[] {
  const { event, hash, fields, put, photo } = data;
  if (!isText(event) || !isText(hash) || !isText(put) || !Array.isArray(fields)) return [];
  return [{ event, hash, put, fields: fields.filter(isText), ...(isText(photo) ? { photo } : {}) }];
}

const isText = (value: Json | undefined): value is string => typeof value === "string";

/** Whether the record is the one that is meant, bytes and all, and something of it is to go. */
async function standsWhole(page: Inner, { event }: EventRow, { hash, fields }: Said): Promise<boolean> {
  if (event.redacted !== undefined || fields.length === 0) return false;
  const bytes = new Uint8Array(await crypto.subtle.digest("SHA-256", page.utf8(page.chainText(event))));
  return Array.from(bytes, (byte) => byte.toString(16).padStart(2, "0")).join("") === hash;
}

function leftOf(event: StoredEvent, { fields, put, hash }: Said): StoredEvent {
  const data: JsonObject =
    fields[0] === ALL
      ? {}
      : Object.fromEntries(
          Object.entries(event.data).map(([name, value]) => [name, fields.includes(name) ? put : value]),
        );
  return { ...event, data, redacted: hash };
}

/** Where the office put it, which may have been heard since. */
function placeOf({ event: { sequence, recordedtime } }: EventRow): object {
  return sequence && recordedtime ? { sequence, recordedtime } : {};
}
