/** The signed heads of the log that this phone keeps. */
import { recall } from "../log";
import type { Heads } from "../sync";

export type { Heads } from "../sync";

const isHeads = (value: unknown): value is Heads =>
  typeof value === "object" && value !== null && "heads" in value && Array.isArray(value.heads);

export const keptHeads = async (): Promise<Heads> =>
  (await recall("heads", isHeads)) ?? { heads: [], checked: 0 };

/** As `check --head` and `verify --head` at the office read them: every head that was kept, that in doubt included. */
export function forFile({ heads, doubt }: Heads): string {
  const all = [...heads, doubt?.kept, doubt?.told].filter((head) => head !== null && head !== undefined);
  const each = new Map(
    all.map(({ log, size, root, time, key, signature }) => [
      signature,
      { log, size, root, time, key, signature },
    ]),
  );
  return `${JSON.stringify([...each.values()], null, 1)}\n`;
}
