/** What the interlocks say of a step on all that this phone holds: what stops it, why, what to do, who may override. */
import { signal } from "@preact/signals";
import type { Role } from "../api";
import { ask } from "./act";
import { session } from "./run";

export type Offer = {
  readonly id: string;
  readonly name: string;
  readonly state: string;
  readonly until: number;
};
export type Interlock = {
  readonly interlock: string;
  readonly title: string;
  readonly stops: boolean;
  readonly reasons: readonly string[];
  readonly do: readonly string[];
  readonly offers: readonly Offer[];
  readonly by: readonly Role[];
  readonly override: string | null;
};

const asked = signal<{ readonly key: string; readonly rows: readonly Interlock[] } | null>(null);
const keyOf = (run: string, step: string): string => `${run} ${step}`;

/** What stands against a step, as last asked of the core; nothing while it is being asked. */
export function interlocksAt(step: string): readonly Interlock[] {
  const run = session.value?.id;
  const held = asked.value;
  return run && held?.key === keyOf(run, step) ? held.rows : [];
}

/** Asks the core again; called when the step, the run's records or the board change. */
export async function lookAtInterlocks(step: string): Promise<void> {
  const held = session.peek();
  if (!held?.live) return;
  const rows = await ask<readonly Interlock[]>("interlocks", { step, now: Date.now() });
  asked.value = { key: keyOf(held.id, step), rows };
}
