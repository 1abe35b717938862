/** Small things that are no record: the last view of a run, half-keyed entries, sign-in verifiers. */
import { withDatabase } from "./database";

export async function keep(key: string, value: unknown): Promise<void> {
  await withDatabase((db) => db.put("kept", value, key));
}

/** What was kept under `key`, if `shape` knows it; what an older version kept otherwise counts as nothing. */
export async function recall<T>(key: string, shape: (value: unknown) => value is T): Promise<T | undefined> {
  const value = await withDatabase((db) => db.get("kept", key));
  return shape(value) ? value : undefined;
}

/** Everything kept under keys that begin with `prefix`, as far as `shape` knows it. */
export async function keptUnder<T>(prefix: string, shape: (value: unknown) => value is T): Promise<T[]> {
  const range = IDBKeyRange.bound(prefix, `${prefix}\uffff`);
  return (await withDatabase((db) => db.getAll("kept", range))).filter(shape);
}

/** Forgets everything kept under keys that begin with `prefix`, but for the keys that `stays` takes. */
export async function forgetUnder(
  prefix: string,
  stays: (key: string) => boolean = () => false,
): Promise<void> {
  const range = IDBKeyRange.bound(prefix, `${prefix}\uffff`);
  await withDatabase(async (db) => {
    const tx = db.transaction("kept", "readwrite");
    for (const key of await tx.store.getAllKeys(range)) if (!stays(key)) void tx.store.delete(key);
    await tx.done;
  });
}

export async function forget(key: string): Promise<void> {
  await withDatabase((db) => db.delete("kept", key));
}
