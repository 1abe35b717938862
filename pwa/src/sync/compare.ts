/**
 * Do phone and server hold the same of a run? The server names the digest of every run an exchange
 * touched. A run that differs here is fetched whole; what the server then still lacks is sent again.
 * One that differs even so is reported, and not fought over.
 */
import type { SyncAnswer } from "../api";
import { digest, eventsOf, keep, recall } from "../log";
import { idsOf } from "./exchange";
import { page } from "./page";

const PARTIAL = "partial-runs";
const FETCH_AT_ONCE = 20;

const told = new Map<string, string>();
const wanted = new Set<string>();
const fetched = new Map<string, ReadonlySet<string>>();
const given = new Set<string>();

/** The runs to ask for whole in the next exchange. */
export const toFetch = (): string[] => [...wanted].slice(0, FETCH_AT_ONCE);

/** Asks for a run; what cannot be a run's id is never asked for, since the server would turn the whole exchange down. */
export function want(run: string): void {
  if (/^[a-z0-9-]{1,64}$/.test(run)) wanted.add(run);
}

/** Remembers what an answer said of runs, and what it held back. */
export async function note(answer: SyncAnswer, asked: readonly string[]): Promise<void> {
  for (const [run, hex] of Object.entries(answer.digests)) told.set(run, hex);
  for (const run of asked) {
    wanted.delete(run);
    fetched.set(run, idsOf(run, answer));
  }
  const partial = new Set(await partialRuns());
  const before = partial.size;
  for (const run of answer.withheld) partial.add(run);
  const whole = asked.filter((run) => partial.delete(run));
  if (partial.size !== before || whole.length > 0) await keep(PARTIAL, [...partial]);
  for (const run of answer.withheld) if ((await eventsOf(run)).length > 0) want(run);
}

/**
 * Compares what is settled. `again`: another exchange will mend something; `differs`: a run still
 * differs after all that can be done.
 */
export async function compare(): Promise<{ readonly again: boolean; readonly differs: boolean }> {
  const partial = new Set(await partialRuns());
  let differs = false;
  let queued = 0;
  for (const [run, hex] of told) {
    told.delete(run);
    if (partial.has(run) || given.has(run) || hex === (await digest(run))) continue;
    const held = fetched.get(run);
    if (held === undefined) want(run);
    else {
      const missing = await (await import("./back")).queueMissing(page, run, held);
      queued += missing;
      fetched.delete(run);
      if (missing > 0) continue;
      given.add(run);
      differs = true;
    }
  }
  return { again: queued > 0 || wanted.size > 0, differs };
}

/** Runs of which this phone holds only a part. */
export async function partialRuns(): Promise<readonly string[]> {
  return (await recall(PARTIAL, isTexts)) ?? [];
}

const isTexts = (value: unknown): value is string[] =>
  Array.isArray(value) && value.every((item) => typeof item === "string");
