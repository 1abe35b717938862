/**
 * Setting back a clock that leapt, loaded only then; it imports nothing of the page and is handed `page`.
 *
 * One wrong date on a phone would otherwise stay in its stamps for good, since a stamp never goes back. While a run with
 * such stamps is open its next record must still come after them, so the clock is set back once none is.
 */
import type { Inner } from "./inner";
import { ADMIN } from "./subjects";

const OVER = new Set(["run.finished", "run.abandoned"]);

export async function setBack(page: Inner): Promise<void> {
  const head = await page.headNow();
  if (!head?.leapt) return;
  const stamp = page.write(head.leapt.at);
  for (const subject of await ahead(page, head.device, stamp)) if (!(await over(page, subject))) return;
  await page.withDatabase(async (db) => {
    const tx = db.transaction("head", "readwrite", { durability: "strict" });
    const stored = await tx.store.get("mine");
    // a record made meanwhile may have opened a run again: the next exchange looks anew
    if (stored && stored.hash === head.hash) void tx.store.put({ ...stored, hlc: stamp }, "mine");
    await tx.done;
  });
  page.forgetStanding();
}

/** The runs with records of this device that are stamped later than `stamp`: its newest, since a stamp never goes back. */
async function ahead(page: Inner, device: string, stamp: string): Promise<ReadonlySet<string>> {
  return page.withDatabase(async (db) => {
    const found = new Set<string>();
    const range = IDBKeyRange.bound([device], [device, []]);
    let cursor = await db.transaction("events").store.index("mine").openCursor(range, "prev");
    while (cursor && cursor.value.event.hlc > stamp) {
      if (cursor.value.event.subject !== ADMIN) found.add(cursor.value.event.subject);
      cursor = await cursor.continue();
    }
    return found;
  });
}

const over = async (page: Inner, subject: string): Promise<boolean> => {
  const rows = await page.withDatabase((db) =>
    db.getAllFromIndex("events", "run", page.subjectRange(subject)),
  );
  return rows.some(({ event }) => OVER.has(event.type));
};
