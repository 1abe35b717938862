/**
 * This device's own chain: its head and its key.
 *
 * A phone that lacks its key or its log is not enrolled any more: it gives up what is left of the
 * old identity (never a record) and must be enrolled again, as a new device with a new key.
 */
import { type Database, withDatabase } from "./database";
import { NotEnrolled } from "./errors";
import type { Head } from "./stores";

export type Standing = { readonly head: Head; readonly key: CryptoKey };

let known: Standing | null = null;

/** The head as last seen by this tab; whoever writes must still compare it with the one that is stored. */
export async function standing(): Promise<Standing> {
  if (known === null) known = await withDatabase(read);
  if (known === null) throw new NotEnrolled();
  return known;
}

export function remember(head: Head): void {
  if (known !== null) known = { ...known, head };
}

export function forgetStanding(): void {
  known = null;
}

async function read(db: Database): Promise<Standing | null> {
  const tx = db.transaction(["head", "keys"]);
  const [head, key] = await Promise.all([
    tx.objectStore("head").get("mine"),
    tx.objectStore("keys").get("sign"),
  ]);
  return head && key ? { head, key } : null;
}

/** The head, if key, head and last own event are all here; otherwise gives up what is left and answers null. */
export async function whole(): Promise<Head | null> {
  const found = await withDatabase(async (db) => {
    const tx = db.transaction(["head", "keys", "events"]);
    const head = await tx.objectStore("head").get("mine");
    const key = await tx.objectStore("keys").get("sign");
    if (!head || !key) return { head: null, leftover: head !== undefined || key !== undefined };
    if (head.number === 0) return { head, leftover: false };
    const last = await tx.objectStore("events").index("mine").get([head.device, head.number]);
    return last ? { head, leftover: false } : { head: null, leftover: true };
  });
  if (found.leftover) await giveUp();
  return found.head;
}

/** Drops the credential: the key goes, the head stays as a memory of the cursor, every record stays. */
export async function giveUp(): Promise<void> {
  forgetStanding();
  await withDatabase(async (db) => {
    const tx = db.transaction("keys", "readwrite", { durability: "strict" });
    void tx.store.delete("sign");
    await tx.done;
  });
}

/** The head as it stands in the database, or null on a phone that was never enrolled. */
export async function headNow(): Promise<Head | null> {
  return (await withDatabase((db) => db.get("head", "mine"))) ?? null;
}
