/**
 * Whether this phone's own chain is whole when a page opens it, and what is done where it is not: the journal, if there
 * is one, gives back what the database lost (`journal/recover`, loaded only then).
 *
 * What was given up on purpose, by a revocation or a fork, stays given up.
 */
import { type Database, loss, withDatabase } from "./database";
import { NotSaved } from "./errors";
import { giveUp } from "./head";
import { inner } from "./inner";
import { ask } from "./journal/journal";
import type { LastLine, Read } from "./journal/protocol";
import { inTime } from "./limit";
import type { Head } from "./stores";

/** Held while records are made, and while a chain is mended. */
export const LOCK = "vesselside-log";

type Found = { readonly head: Head | null; readonly left: boolean; readonly given: boolean };

/** The head, if key, head and last own event are all here or the journal brought them back; otherwise null. */
export async function whole(): Promise<Head | null> {
  const { head, given } = await withDatabase(look);
  if (given) return null;
  if (!head) return await navigator.locks.request(LOCK, mend);
  void tailKnown().catch(reportError);
  return head;
}

async function look(db: Database): Promise<Found> {
  const tx = db.transaction(["head", "keys", "events"]);
  const head = await tx.objectStore("head").get("mine");
  const key = await tx.objectStore("keys").get("sign");
  const left = { head: null, left: head !== undefined || key !== undefined, given: head?.given === true };
  if (!head || !key) return left;
  if (head.number === 0) return { head, left: false, given: false };
  const last = await tx.objectStore("events").index("mine").get([head.device, head.number]);
  return last ? { head, left: false, given: false } : left;
}

async function mend(): Promise<Head | null> {
  const found = await withDatabase(look); // another tab may have been before us
  if (found.head) return found.head;
  let read: Read | null;
  try {
    read = await ask<Read>({ do: "read" });
  } catch (error) {
    told(error);
    return null; // nothing is given up: the next opening may read it
  }
  if (read && (read.lines.length > 0 || read.kept.enrolled !== undefined))
    return (await import("./journal/recover")).recover(inner, read, loss());
  if (loss() === "total") await (await import("./journal/recover")).note(inner, loss());
  if (found.left) await giveUp();
  return null;
}

let looked: Promise<void> | null = null;

/** The same for who does not hold the lock: what is exchanged must not run before the tail is back. */
export async function tailKnown(): Promise<void> {
  await (looked ?? navigator.locks.request(LOCK, tailBack));
}

/** Under the lock, before the first record of a page's life: where the database lacks the newest of its own, they are brought back. */
export function tailBack(): Promise<void> {
  looked ??= mendTail().catch((error: unknown) => {
    if (!(error instanceof NotSaved)) return void told(error);
    looked = null; // it is the database that fails
    throw error;
  });
  return looked;
}

async function mendTail(): Promise<void> {
  const { head } = await inTime(withDatabase(look));
  if (!head) return;
  const last = await ask<LastLine>({ do: "last", source: `/devices/${head.device}` });
  if (!last || last.number <= head.number) return;
  const read = await ask<Read>({ do: "read" });
  if (!read) return;
  const { recover, restoreTail } = await import("./journal/recover");
  if (await restoreTail(inner, read, head)) return;
  await recover(inner, read, loss());
  location.reload(); // this page believes in the chain that is over
}

/** Keeps beside the journal what others made in these runs, and what this phone keeps under keys that begin so. */
export const keepOthers = async (runs: readonly string[], keys: readonly string[]): Promise<void> =>
  (await import("./journal/keeper")).keep(inner, runs, keys);

/** A journal that cannot be read is no reason to keep a person from recording. */
function told(error: unknown): null {
  console.error("journal:", error);
  return null;
}
