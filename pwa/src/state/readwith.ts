/** Which of the site's instruments the reading on the screen is made with; what is proposed is the core's to say. */
import { signal } from "@preact/signals";
import { call } from "../engine";
import { type JsonObject, keep, recall } from "../log";
import { ask, type Session } from "./run";
import type { Entry, InstrumentView, Step } from "./view";

/** The one picked for the reading on the screen, until it is recorded or left. */
export const picked = signal("");

/** Where this phone remembers the one it used last for such readings on this vessel. */
const lastKey = (run: Session, entry: Entry): string => `with:${entry.instrument}:${run.view.vessel}`;

/** What the core is told of the instrument of a reading. */
export async function readWith(run: Session, entry: Entry): Promise<JsonObject> {
  if (!entry.instrument) return {};
  const last = await recall(lastKey(run, entry), isText);
  return { instrument: picked.peek() || entry.instrument, last: last ?? null };
}

export const isText = (value: unknown): value is string => typeof value === "string";

export type Choices = { readonly proposed: string | null; readonly rows: readonly InstrumentView[] };

/** The instruments an entry can be read with, and the one the core proposes. */
export async function choicesOf(run: Session, step: Step, entry: Entry): Promise<Choices> {
  const last = await recall(lastKey(run, entry), isText);
  return ask<Choices>("read-with", {
    step: step.id,
    field: entry.id,
    last: last ?? null,
    now: Date.now(),
  });
}

/** Takes another for the reading on the screen, and remembers it unless the reading is its own check. */
export function pick(run: Session, entry: Entry, id: string): void {
  picked.value = id;
  if (!entry.verifies) keep(lastKey(run, entry), id).catch(console.error);
}

type Fault = { readonly field: string; readonly text: string };

/** What is wrong with an instrument about to be kept, field by field. */
export const instrumentFaults = (instrument: object): Promise<readonly Fault[]> =>
  call<readonly Fault[]>("instrument-faults", { instrument });
