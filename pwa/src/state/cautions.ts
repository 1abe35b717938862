/** Which cautions the person on this phone is shown at a step, and how: in full, as states to be seen, still so, or met. */
import { signal } from "@preact/signals";
import type { Role } from "../api";
import { current } from "../identity";
import { type JsonObject, ofType } from "../log";
import { act, ask, stillSo } from "./act";
import { caution } from "./known";
import { session } from "./run";
import type { Caution, CautionShow } from "./view";

export type Shown = { readonly caution: Caution; readonly show: "full" | "state" | "still" };
export type StepCautions = {
  readonly key: string;
  readonly shown: readonly Shown[];
  readonly all: readonly Caution[];
};

export const stepCautions = signal<StepCautions | null>(null);

export const keyOf = (run: string, step: string, person: string): string => `${run} ${step} ${person}`;

/** The cautions still to be met at a step, or null while the core is being asked. */
export function cautionsAt(step: string): StepCautions | null {
  const run = session.value?.id;
  const person = current.value?.id;
  const held = stepCautions.value;
  return run && person && held?.key === keyOf(run, step, person) ? held : null;
}

/** While several are being recorded the screen stays as it is, so that none is pressed twice. */
let meeting = false;

/** Asks the core again; called when the step, the person or the run's records change. */
export async function lookAtCautions(step: string): Promise<void> {
  if (meeting) return;
  const held = session.peek();
  const person = current.peek();
  if (!held?.live || !person) return;
  const met = await metBefore(keyOf(held.id, step, person.id), person.id);
  const role: Role = person.role;
  const rows = await ask<readonly CautionShow[]>("cautions", {
    step,
    person: person.id,
    role,
    met,
    now: Date.now(),
  });
  const known = rows.flatMap((row) => {
    const text = caution(row.caution);
    return text ? [{ caution: text, show: row.show }] : [];
  });
  const shown = known.filter((row): row is Shown => row.show !== "met");
  stepCautions.value = {
    key: keyOf(held.id, step, person.id),
    shown,
    all: known.map((row) => row.caution),
  };
  const still = nextScreen(shown).length === 0 ? shown : [];
  stillSo.value = { run: held.id, step, person: person.id, cautions: still.map((row) => row.caution.id) };
}

type Met = { readonly data: JsonObject; readonly time: string };
let read: { readonly key: string; readonly met: readonly Met[] } | null = null;

/** When this person met which caution, in any run: read once a step, for what is met at the step the core knows itself. */
async function metBefore(key: string, person: string): Promise<readonly Met[]> {
  if (read?.key !== key) {
    const events = (await ofType("caution.met")).filter((event) => event.person === person);
    read = { key, met: events.map(({ data, time }) => ({ data, time })) };
  }
  return read.met;
}

/**
 * The cautions of one screen: those of the first hazard group to be read in full, else all states to be seen; none when
 * all of them are still so.
 */
export function nextScreen(shown: readonly Shown[]): readonly Shown[] {
  const first = shown.find((row) => row.show === "full");
  if (!first) return shown.some((row) => row.show === "state") ? shown : [];
  return shown.filter((row) => row.show === "full" && row.caution.group === first.caution.group);
}

/** Records that the person has met these cautions; throws what was refused of it, in words. */
export async function meet(step: string, screen: readonly Shown[]): Promise<void> {
  meeting = true;
  try {
    for (const row of screen) {
      const answer = await act("caution", { step, caution: row.caution.id });
      if (!answer.ok) throw new Error(answer.text);
    }
  } finally {
    meeting = false;
  }
  await lookAtCautions(step);
}
