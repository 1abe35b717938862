/** Reading the log. Order is always (hlc, id); events in quarantine or of another brewery are never handed out. */
import { sha256 } from "./bytes";
import { hashOf } from "./canonical";
import { withDatabase } from "./database";
import { headNow } from "./head";
import type { AsideRow, EventRow } from "./stores";
import { ADMIN, runOf, runSubject, subjectRange } from "./subjects";
import type { KnownRun, Refusal, StoredEvent } from "./types";

export const eventsOf = (run: string): Promise<StoredEvent[]> => inOrder("run", runSubject(run));

/** The administration of the brewery that this phone is of now: what another told it stays, and counts for nothing. */
export async function admin(): Promise<StoredEvent[]> {
  const [events, head] = await Promise.all([inOrder("run", ADMIN), headNow()]);
  return events.filter(({ log }) => log === undefined || log === head?.brewery);
}

export const ofType = (type: string): Promise<StoredEvent[]> => inOrder("type", type);

export async function eventOf(id: string): Promise<StoredEvent | undefined> {
  return (await withDatabase((db) => db.get("events", id)))?.event;
}

/** Every run of which the opening is held, newest first. */
export async function runs(): Promise<KnownRun[]> {
  const opened = await ofType("run.opened");
  return opened.reverse().map((event) => ({ run: runOf(event.subject), opened: event }));
}

export const waiting = (): Promise<number> => withDatabase((db) => db.count("outbox"));

/** What the server set aside, with the record itself. */
export function refused(): Promise<Refusal[]> {
  return withDatabase(async (db) => {
    const tx = db.transaction(["aside", "events"]);
    const rows = await tx.objectStore("aside").getAll();
    const held = await Promise.all(rows.map((row) => tx.objectStore("events").get(row.id)));
    return rows.flatMap((row, at) => {
      const event = held[at]?.event;
      return event ? [{ ...row, event }] : [];
    });
  });
}

/** SHA-256 over the hashes of a run's events, sorted and joined; what the server does not count is left out. */
export async function digest(run: string): Promise<string> {
  const events = await withDatabase(async (db) => {
    const tx = db.transaction(["events", "outbox", "aside"]);
    const [rows, queued, aside] = await Promise.all([
      tx
        .objectStore("events")
        .index("run")
        .getAll(subjectRange(runSubject(run))),
      tx.objectStore("outbox").getAll(),
      tx.objectStore("aside").getAll(),
    ]);
    const missing = new Set([...queued, ...aside].map((row) => row.id));
    return rows.map((row) => row.event).filter((event) => !missing.has(event.id));
  });
  const sorted = (await Promise.all(events.map(knownHash))).sort();
  return sha256(sorted.join(""));
}

/** Events never change, so a hash once worked out stands; the oldest are forgotten first. */
const hashes = new Map<string, string>();
const HASHES_KEPT = 20_000;

async function knownHash(event: StoredEvent): Promise<string> {
  const known = hashes.get(event.id);
  if (known !== undefined) return known;
  const hash = await hashOf(event);
  if (hashes.size >= HASHES_KEPT)
    for (const oldest of hashes.keys()) {
      hashes.delete(oldest);
      break;
    }
  hashes.set(event.id, hash);
  return hash;
}

function inOrder(index: "run" | "type", first: string): Promise<StoredEvent[]> {
  return withDatabase(async (db) => {
    const tx = db.transaction(["events", "aside"]);
    const [rows, aside] = await Promise.all([
      tx.objectStore("events").index(index).getAll(subjectRange(first)),
      tx.objectStore("aside").getAll(),
    ]);
    return counted(rows, aside);
  });
}

/** What counts here: nothing in quarantine, and nothing of another brewery. */
function counted(rows: readonly EventRow[], aside: readonly AsideRow[]): StoredEvent[] {
  const barred = new Set(aside.filter((row) => row.kind === "quarantined").map((row) => row.id));
  return rows.filter((row) => !row.of && !barred.has(row.event.id)).map((row) => row.event);
}
