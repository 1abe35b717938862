/** The outbox as the exchange needs it. Rows leave it only through receive(). */

import type { IDBPTransaction } from "idb";
import { utf8 } from "./bytes";
import { chainText } from "./canonical";
import { type Database, withDatabase } from "./database";
import { CURSOR_ZERO, forgetStanding } from "./head";
import { tell } from "./notice";
import type { EventRow, OutboxRow, Stores } from "./stores";
import { everyRun, runSubject, subjectRange } from "./subjects";

/** The oldest waiting records, at most `count` and about `bytes` in all, but always one if there is one. */
export async function batch(count: number, bytes: number): Promise<OutboxRow[]> {
  const rows = await withDatabase((db) => db.getAll("outbox", null, count));
  let sum = 0;
  const end = rows.findIndex((row, at) => {
    sum += row.bytes + 1;
    return sum > bytes && at > 0;
  });
  return end < 0 ? rows : rows.slice(0, end);
}

/** Queues again what is held of a run but not among `known`: the server has lost it. Answers how many. */
export async function queueMissing(run: string, known: ReadonlySet<string>): Promise<number> {
  const queued = await withDatabase(async (db) => {
    const tx = requeuing(db);
    const rows = await tx
      .objectStore("events")
      .index("run")
      .getAll(subjectRange(runSubject(run)));
    const count = await queueAgain(tx, rows, known);
    await tx.done;
    return count;
  });
  if (queued > 0) tell({ subjects: [], made: true });
  return queued;
}

/**
 * Starts pulling from the beginning, and offers every held record of a run again: the server said that
 * our cursor lies beyond its log, so it has gone back to an earlier state. False when already at the start.
 */
export async function rewind(): Promise<boolean> {
  const rewound = await withDatabase(async (db) => {
    const tx = requeuing(db);
    const head = await tx.objectStore("head").get("mine");
    const back = head !== undefined && head.cursor !== CURSOR_ZERO;
    if (back) {
      const rows = await tx.objectStore("events").index("run").getAll(everyRun());
      await queueAgain(tx, rows, new Set());
      void tx.objectStore("head").put({ ...head, cursor: CURSOR_ZERO }, "mine");
    }
    await tx.done;
    return back;
  });
  if (rewound) {
    forgetStanding();
    tell({ subjects: [], made: true });
  }
  return rewound;
}

const REQUEUING = ["events", "outbox", "aside", "head"] as const;
type Requeuing = IDBPTransaction<Stores, typeof REQUEUING, "readwrite">;

const requeuing = (db: Database): Requeuing =>
  db.transaction(REQUEUING, "readwrite", { durability: "strict" });

async function queueAgain(
  tx: Requeuing,
  rows: readonly EventRow[],
  known: ReadonlySet<string>,
): Promise<number> {
  const outbox = tx.objectStore("outbox");
  const waiting = (await outbox.getAll()).map((row) => row.id);
  const left = new Set([...known, ...waiting, ...(await tx.objectStore("aside").getAllKeys())]);
  const missing = rows.map((row) => row.event).filter((event) => !left.has(event.id));
  missing.sort((a, b) => (a.hlc + a.id < b.hlc + b.id ? -1 : 1));
  for (const event of missing) {
    const text = chainText(event);
    void outbox.add({ id: event.id, text, bytes: utf8(text).length });
  }
  return missing.length;
}

/** Takes one record out of the queue as refused: it stays in the log, is shown, and holds up nothing. */
export async function setAside(row: OutboxRow, problem: string): Promise<void> {
  await withDatabase(async (db) => {
    const tx = db.transaction(["outbox", "aside"], "readwrite", { durability: "strict" });
    if (row.at !== undefined) void tx.objectStore("outbox").delete(row.at);
    void tx.objectStore("aside").put({ id: row.id, kind: "refused", problem, at: Date.now() });
    await tx.done;
  });
  tell({ subjects: [], made: false });
}
