/**
 * This device's own chain: its head and its key.
 *
 * A phone that lacks its key or its log, and has no journal, is not enrolled any more: it gives up what is left of the
 * old identity (never a record) and must be enrolled again, as a new device with a new key.
 */
import { type Database, withDatabase } from "./database";
import { NotEnrolled } from "./errors";
import { keepBeside } from "./journal/journal";
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

/** Drops the credential: the key goes, the head stays as a memory of the cursor, every record stays. */
export async function giveUp(): Promise<void> {
  forgetStanding();
  await withDatabase(async (db) => {
    const tx = db.transaction(["keys", "head"], "readwrite", { durability: "strict" });
    void tx.objectStore("keys").delete("sign");
    const head = await tx.objectStore("head").get("mine");
    if (head) void tx.objectStore("head").put({ ...head, given: true }, "mine");
    await tx.done;
  });
  await keepBeside("enrolled", null);
}

/** The head as it stands in the database, or null on a phone that was never enrolled. */
export async function headNow(): Promise<Head | null> {
  return (await withDatabase((db) => db.get("head", "mine"))) ?? null;
}
