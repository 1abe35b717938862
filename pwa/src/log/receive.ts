/**
 * Taking over what an exchange brought, in one transaction:
 *
 * 1. An event held already is never written again.
 * 2. The cursor moves only together with the events it passed.
 * 3. A queued record leaves the queue only by a result that names its id; the record itself stays.
 * 4. The clock takes over a remote one only when that is at most 5 minutes ahead of the server.
 * 5. An own stamp further ahead than that is no evidence of the time: the leap is noted.
 * 6. An own event that this phone lacks means its log was lost: `lost` is reported.
 */
import { unwrap } from "idb";
import { merge, mergeable, milliseconds } from "./clock";
import { type Database, withDatabase } from "./database";
import { NotEnrolled } from "./errors";
import { remember } from "./head";
import { tell } from "./notice";
import type { EventRow, Head, OutboxRow } from "./stores";
import { SERVER } from "./subjects";
import type { PushResult, StoredEvent } from "./types";

export type Exchange = {
  readonly sent: readonly OutboxRow[];
  readonly results: readonly PushResult[];
  readonly events: readonly StoredEvent[];
  readonly cursor: string;
  /** what the server said of the log at the cursor, and which life of the log that is */
  readonly leaf?: string | undefined;
  readonly epoch?: string | undefined;
  /** the server's time less this phone's, and this phone's time when it was measured */
  readonly offset: number;
  readonly at: number;
};

/** `leapt`: this phone's own clock is further ahead of the server's than any other would be let. */
export type Received = { readonly lost: boolean; readonly leapt: boolean };

export async function receive(exchange: Exchange): Promise<Received> {
  const head = await withDatabase((db) => write(db, exchange));
  remember(head);
  const subjects = new Set(exchange.events.map((event) => event.subject));
  if (subjects.size > 0 || exchange.results.length > 0) {
    tell({ subjects: [...subjects], made: false });
  }
  const leapt = head.leapt?.at === exchange.at + exchange.offset;
  return { lost: await lacksOwn(head, exchange.events), leapt };
}

async function write(db: Database, exchange: Exchange): Promise<Head> {
  const tx = db.transaction(["events", "outbox", "aside", "head"], "readwrite");
  const stored = await tx.objectStore("head").get("mine");
  if (stored === undefined) throw new NotEnrolled();
  const events = unwrap(tx.objectStore("events"));
  for (const event of exchange.events) addUnlessHeld(events, { event });
  settle(unwrap(tx.objectStore("outbox")), unwrap(tx.objectStore("aside")), exchange);
  const head = { ...stored, ...moved(stored, exchange) };
  void tx.objectStore("head").put(head, "mine");
  await tx.done;
  return head;
}

function moved(stored: Head, { events, cursor, leaf, epoch, offset, at }: Exchange): Partial<Head> {
  const remotes = events.map((event) => event.hlc);
  const now = at + offset;
  const hlc = merge(stored.hlc, remotes, now);
  const stamp = milliseconds(hlc);
  return {
    hlc,
    ...(mergeable(hlc, now) ? {} : { leapt: { at: now, stamp, ahead: stamp - now } }),
    ...(cursor >= stored.cursor ? { cursor, at: leaf, epoch } : {}),
    offset,
    reached: at,
  };
}

/** A held id fails as a constraint; that failure is the answer wanted and must not abort the rest. */
export function addUnlessHeld(events: IDBObjectStore, row: EventRow, added?: () => void): void {
  const request = events.add(row);
  if (added) request.onsuccess = added;
  request.onerror = (event) => {
    if (request.error?.name !== "ConstraintError") return;
    event.preventDefault();
    event.stopPropagation();
  };
}

function settle(
  outbox: IDBObjectStore,
  aside: IDBObjectStore,
  { sent, results, events, at }: Exchange,
): void {
  const named = new Map(results.map((result) => [result.id, result]));
  for (const range of spans(sent, (row) => named.has(row.id))) outbox.delete(range);
  for (const { id } of sent) {
    const { status, problem } = named.get(id) ?? {};
    if (status === "refused" || status === "quarantined") {
      aside.put({ id, kind: status, problem: problem ?? status, at });
    }
  }
  for (const { source, type, data } of events) {
    if (source === SERVER && type === "record.judged-again" && typeof data.event === "string")
      aside.delete(data.event);
  }
}

/** The places of the rows that are settled, as few ranges: a sent batch is a stretch of the queue with no gap in it. */
function spans(sent: readonly OutboxRow[], settled: (row: OutboxRow) => boolean): IDBKeyRange[] {
  const ranges: IDBKeyRange[] = [];
  let first: number | undefined;
  let last: number | undefined;
  for (const row of [...sent, undefined]) {
    if (row && settled(row)) {
      first ??= row.at;
      last = row.at;
    } else if (first !== undefined) {
      ranges.push(IDBKeyRange.bound(first, last));
      first = undefined;
    }
  }
  return ranges;
}

async function lacksOwn(head: Head, events: readonly StoredEvent[]): Promise<boolean> {
  const source = `/devices/${head.device}`;
  const highest = events.reduce(
    (number, event) => (event.source === source ? Math.max(number, event.number) : number),
    0,
  );
  return highest > head.number;
}
