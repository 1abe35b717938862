/** A record with the signed head it lies under: what stands on paper, for `check --printed` and `verify --printed`. */
import { NoNetwork, Problem, read } from "../../api";
import { type Held, recordOf } from "../../state/record";

export type LogHead = {
  readonly log: string;
  readonly size: number;
  readonly root: string;
  readonly time: string;
};
export type Proved = Held & { readonly head: LogHead | null };

const TRIES = 3;

function isHead(value: unknown): value is LogHead {
  if (typeof value !== "object" || value === null) return false;
  const { log, size, root, time } = value as Readonly<Record<string, unknown>>;
  return [log, root, time].every((part) => typeof part === "string") && typeof size === "number";
}

/** The head is asked for first: a record read after it that holds nothing newer is the record as the head has it. */
export async function provedRecord(id: string): Promise<Proved> {
  for (let left = TRIES; left > 0; left -= 1) {
    const head = await headNow();
    const held = await recordOf(id);
    if (!head || !held.office) return { ...held, head: null };
    const covered = String(head.size).padStart(16, "0");
    if (held.events.every(({ sequence }) => sequence !== undefined && sequence <= covered))
      return { ...held, head };
  }
  return { ...(await recordOf(id)), head: null };
}

/** The log's head as it stands, or null where the office cannot give one: the record is shown all the same. */
async function headNow(): Promise<LogHead | null> {
  try {
    return await read("/api/log/head", isHead);
  } catch (error) {
    if (error instanceof NoNetwork || error instanceof Problem) return null;
    throw error;
  }
}

/** What the square code says: the form that the store's page describes. */
export const printedText = (run: string, digest: string, { log, size, root }: LogHead): string =>
  ["VESSELSIDE-1", log, run, digest, size, root].join(" ");
