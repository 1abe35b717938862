/** The outbox as the exchange needs it. Rows leave it only through receive(). */

import { utf8 } from "./bytes";
import { chainText } from "./canonical";
import { withDatabase } from "./database";
import { tell } from "./notice";
import { runSubject } from "./query";
import type { OutboxRow } from "./stores";

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
    const tx = db.transaction(["events", "outbox", "aside"], "readwrite", { durability: "strict" });
    const subject = runSubject(run);
    const [rows, waiting, aside] = await Promise.all([
      tx
        .objectStore("events")
        .index("run")
        .getAll(IDBKeyRange.bound([subject], [subject, []])),
      tx.objectStore("outbox").getAll(),
      tx.objectStore("aside").getAllKeys(),
    ]);
    const left = new Set([...known, ...waiting.map((row) => row.id), ...aside]);
    const missing = rows.map((row) => row.event).filter((event) => !left.has(event.id));
    for (const event of missing) {
      const text = chainText(event);
      void tx.objectStore("outbox").add({ id: event.id, text, bytes: utf8(text).length });
    }
    await tx.done;
    return missing.length;
  });
  if (queued > 0) tell({ subjects: [], outbox: true });
  return queued;
}
