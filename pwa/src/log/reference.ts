import { withDatabase } from "./database";
import { keepBeside } from "./journal/journal";
import { isPublicKey, type PublicKey } from "./key";
import type { ReferenceRow } from "./stores";

export const heldReference = (): Promise<ReferenceRow | undefined> =>
  withDatabase((db) => db.get("reference", "current"));

export async function holdReference(row: ReferenceRow): Promise<void> {
  await withDatabase((db) => db.put("reference", row, "current"));
  await keepBeside("reference", row);
}

export async function dropReference(): Promise<void> {
  await withDatabase((db) => db.delete("reference", "current"));
  await keepBeside("reference", null);
  await keepBeside("others", null);
}

/** The public key of every device the last reference names, by the source it writes into its events. */
export async function deviceKeys(): Promise<ReadonlyMap<string, PublicKey>> {
  const { devices } = ((await heldReference())?.reference ?? {}) as { devices?: unknown };
  const keys = new Map<string, PublicKey>();
  for (const device of Array.isArray(devices) ? devices : []) {
    const { id, key } = device as { id?: unknown; key?: unknown };
    if (typeof id === "string" && isPublicKey(key)) keys.set(`/devices/${id}`, key);
  }
  return keys;
}
