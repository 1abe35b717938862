/**
 * What stands before a step for the person on this phone: its cautions and how they are shown, and its interlocks. A tap
 * brings it for its own step and the next; else the core is asked once for each step, person, record and board.
 */
import { signal } from "@preact/signals";
import type { Role } from "../api";
import { generation } from "../engine";
import { current } from "../identity";
import { type JsonObject, ofType } from "../log";
import { board } from "./board";
import { ask, session } from "./run";
import type { CautionShow } from "./view";

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
export type Look = {
  readonly cautions: readonly CautionShow[];
  readonly interlocks: readonly Interlock[];
  /** Who may sign the step second, by role. */
  readonly signers: readonly Role[];
};
export type Looks = Readonly<Record<string, Look>>;

type Looked = { readonly key: string; readonly board: unknown; readonly steps: Looks };
const looked = signal<Looked | null>(null);

/** What it was asked of: another record or another person makes it old. */
function keyNow(): string | null {
  const held = session.value;
  const person = current.value?.id;
  return held && person ? `${held.id} ${held.view.last?.join(" ")} ${person}` : null;
}

/** What is known of a step, of an older record while the core is being asked; null before it was ever asked. */
export function lookAt(step: string): Look | null {
  const key = keyNow();
  const held = looked.value;
  const sameRunAndPerson = key && held && endsOf(held.key) === endsOf(key);
  return sameRunAndPerson ? (held.steps[step] ?? null) : null;
}

const endsOf = (key: string): string => [key.split(" ").at(0), key.split(" ").at(-1)].join(" ");

/** While several cautions are being recorded the screen stays as it is, so that none is pressed twice. */
let meeting = false;

/** Takes what a tap brought. */
export function keepLooks(steps: Looks): void {
  const key = keyNow();
  if (key && !meeting) looked.value = { key, board: board.peek(), steps };
}

export async function whileMeeting(work: () => Promise<void>): Promise<void> {
  meeting = true;
  try {
    await work();
  } finally {
    meeting = false;
  }
}

/** Asks the core, where what is known of the step is older than the record, the board or the person. */
export async function look(step: string): Promise<void> {
  const person = current.peek();
  const key = keyNow();
  if (meeting || !session.peek()?.live || !person || !key) return;
  const held = looked.peek();
  const fresh = held?.key === key && held.board === board.peek() ? held.steps : {};
  if (fresh[step]) return;
  const met = await metBefore(person.id);
  const found = await ask<Look>("look", {
    step,
    person: { id: person.id, role: person.role },
    now: Date.now(),
    ...met,
  });
  if (keyNow() !== key) return;
  looked.value = { key, board: board.peek(), steps: { ...fresh, ...older(key), [step]: found } };
  if (met.met) told = { person: person.id, core: generation.peek() };
}

/** What came in for the same record meanwhile. */
const older = (key: string): Looks => (looked.peek()?.key === key ? (looked.peek()?.steps ?? {}) : {});

/** The person whose meetings of cautions the core has been told; what is met from then on it knows itself. */
let told: { readonly person: string; readonly core: number } | null = null;

async function metBefore(person: string): Promise<JsonObject> {
  if (told?.person === person && told.core === generation.peek()) return {};
  const events = (await ofType("caution.met")).filter((event) => event.person === person);
  return {
    met: events.map(({ data, time }) => ({
      caution: data.caution ?? null,
      version: data.version ?? null,
      at: Date.parse(time),
    })),
  };
}
