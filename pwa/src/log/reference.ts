import { withDatabase } from "./database";
import type { ReferenceRow } from "./stores";

export const heldReference = (): Promise<ReferenceRow | undefined> =>
  withDatabase((db) => db.get("reference", "current"));

export async function holdReference(row: ReferenceRow): Promise<void> {
  await withDatabase((db) => db.put("reference", row, "current"));
}
