/** Sealing small secrets with an AES key that never leaves this browser's profile. */
import { type Database, withDatabase } from "./database";

const ALGORITHM = "AES-GCM";

export type Sealed = { readonly iv: Uint8Array<ArrayBuffer>; readonly bytes: ArrayBuffer };

export async function sealed(secret: ArrayBuffer): Promise<Sealed> {
  const iv = crypto.getRandomValues(new Uint8Array(12));
  const bytes = await crypto.subtle.encrypt({ name: ALGORITHM, iv }, await sealingKey(), secret);
  return { iv, bytes };
}

/** The secret, or null when it was sealed with a key this phone no longer has. */
export async function unsealed({ iv, bytes }: Sealed): Promise<ArrayBuffer | null> {
  try {
    return await crypto.subtle.decrypt({ name: ALGORITHM, iv }, await sealingKey(), bytes);
  } catch (error) {
    if (error instanceof DOMException && error.name === "OperationError") return null;
    throw error;
  }
}

/** Drops the key: what was sealed with it can be opened no more. */
export async function breakSeal(): Promise<void> {
  await withDatabase((db) => db.delete("keys", "seal"));
}

async function sealingKey(): Promise<CryptoKey> {
  const made = await crypto.subtle.generateKey({ name: ALGORITHM, length: 256 }, false, [
    "encrypt",
    "decrypt",
  ]);
  return withDatabase((db) => heldOrKept(db, made));
}

/** Keeps the first key ever made, whichever tab made it. */
async function heldOrKept(db: Database, made: CryptoKey): Promise<CryptoKey> {
  const tx = db.transaction("keys", "readwrite", { durability: "strict" });
  const held = await tx.store.get("seal");
  if (held === undefined) void tx.store.put(made, "seal");
  await tx.done;
  return held ?? made;
}
