/** The outbox as the exchange needs it. Rows leave it only through receive(). */
import { withDatabase } from "./database";
import { tailKnown } from "./opening";
import type { OutboxRow } from "./stores";

/** The oldest waiting records, at most `count` and about `bytes` in all, but always one if there is one. */
export async function batch(count: number, bytes: number): Promise<OutboxRow[]> {
  await tailKnown();
  const rows = await withDatabase((db) => db.getAll("outbox", null, count));
  let sum = 0;
  const end = rows.findIndex((row, at) => {
    sum += row.bytes + 1;
    return sum > bytes && at > 0;
  });
  return end < 0 ? rows : rows.slice(0, end);
}
