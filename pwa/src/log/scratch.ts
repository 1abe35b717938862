/**
 * Has the browser begin a new file before this page writes anything.
 *
 * Chromium keeps an origin's databases in LevelDB. A kill can leave the last record of its log file cut short; the
 * next life passes that over and writes on behind it; the one after takes it for damage and deletes every record.
 * Deleting a database makes LevelDB store what the log held and begin another, so one of no use is made and deleted.
 *
 * 1. It is never in the way: it has a time limit, and what goes wrong is told and passed over.
 * 2. Each has a name of its own, and a lock of that name while it is made and deleted: tabs do not meet on one.
 * 3. One whose lock nobody holds was left by a life that was killed, and is deleted.
 */
import { deleteDB, openDB } from "idb";
import { SCRATCH } from "./stores";
import { uuid7 } from "./uuid";

/** Long, for a phone that is busy: what is passed over here may cost all that is written. */
const LIMIT_MS = 10_000;

/** Resolves when what is written next goes to a new file, or when that has failed or taken too long. */
export async function beginNewFile(): Promise<void> {
  let limit: ReturnType<typeof setTimeout> | undefined;
  const late = new Promise<never>((_, reject) => {
    limit = setTimeout(() => reject(new Error("no new file was begun in time")), LIMIT_MS);
  });
  await Promise.race([makeAndDelete(`${SCRATCH}${uuid7(Date.now())}`), late]).catch(tell);
  clearTimeout(limit);
  void deleteLeft().catch(tell);
}

function tell(error: unknown): void {
  console.error("scratch database:", error);
}

async function makeAndDelete(name: string): Promise<void> {
  await navigator.locks.request(name, async () => {
    (await openDB(name, 1)).close();
    await deleteDB(name);
  });
}

/** A browser that cannot list its databases has none of Chromium's trouble. */
async function deleteLeft(): Promise<void> {
  if (!("databases" in indexedDB)) return;
  for (const { name } of await indexedDB.databases()) {
    if (!name?.startsWith(SCRATCH)) continue;
    await navigator.locks.request(name, { ifAvailable: true }, async (lock) => {
      if (lock) await deleteDB(name);
    });
  }
}
