/** Which of the site's instruments the reading on the screen is made with; what is proposed is the core's to say. */
import { signal } from "@preact/signals";
import { type JsonObject, recall } from "../log";
import type { Session } from "./run";
import type { Entry } from "./view";

/** The one picked for the reading on the screen, until it is recorded or left. */
export const picked = signal("");

/** Where this phone remembers the one it used last for such readings on this vessel. */
export const lastKey = (run: Session, entry: Entry): string => `with:${entry.instrument}:${run.view.vessel}`;

/** What the core is told of the instrument of a reading. */
export async function readWith(run: Session, entry: Entry): Promise<JsonObject> {
  if (!entry.instrument) return {};
  const last = await recall(lastKey(run, entry), isText);
  return { instrument: picked.peek() || entry.instrument, last: last ?? null };
}

export const isText = (value: unknown): value is string => typeof value === "string";
