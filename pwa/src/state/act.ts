/**
 * Doing something to the open run: the core turns the wish into a record or says why not; the log keeps it; the core
 * folds it. Whatever is refused comes back as an answer with words for the person, never as an exception.
 */
import { signal } from "@preact/signals";
import { call, EngineError } from "../engine";
import { current, type Person } from "../identity";
import { type JsonObject, NotAccepted, type StoredEvent } from "../log";
import { t } from "../messages";
import { inTurn, isLost, refold, session, takeSaved } from "./run";
import { save } from "./saving";
import type { Judgement, Wait } from "./view";

export type Action =
  | "caution"
  | "enter"
  | "settle"
  | "done"
  | "skip"
  | "hold-start"
  | "hold-end"
  | "sign"
  | "note"
  | "deviate"
  | "override"
  | "answer"
  | "strike"
  | "finish"
  | "abandon"
  | "review";

type Prepared = { readonly type: string; readonly data: JsonObject; readonly judgement?: Judgement };

export type Refused = {
  readonly ok: false;
  readonly code: string;
  readonly text: string;
  readonly field: string | null;
  readonly waits: readonly Wait[];
};
export type Answer =
  | { readonly ok: true; readonly event: StoredEvent; readonly judgement: Judgement | null }
  | Refused;

/** What this phone recorded last in the open run: what the strike that is one press away would strike. */
export const lastMade = signal<{ readonly run: string; readonly event: string } | null>(null);

/** Cautions that were seen lately and are in sight over the step: this person's next record at it confirms them. */
export const stillSo = signal<{
  readonly run: string;
  readonly step: string;
  readonly person: string;
  readonly cautions: readonly string[];
} | null>(null);

/** What the core takes only from someone who has met the cautions of the step. */
const AT_STEP: readonly Action[] = ["enter", "done", "skip", "hold-start", "hold-end"];

const STRIKABLE: readonly Action[] = ["enter", "done", "skip", "hold-start", "note", "deviate"];

/** Acts as the person signed in, or as `by` when a second person signs. */
export function act(
  action: Action,
  given: JsonObject = {},
  by: Person | null = current.peek(),
): Promise<Answer> {
  return inTurn(async () => {
    const { id, rehearsal } = session.peek() ?? {};
    if (!id || rehearsal || !by) return refusal("not-open", "");
    try {
      for (const caution of confirmed(id, action, given, by))
        await record(id, "caution", { step: given.step ?? null, caution }, by);
      const { event, prepared } = await record(id, action, given, by);
      if (STRIKABLE.includes(action)) lastMade.value = { run: id, event: event.id };
      return { ok: true, event, judgement: prepared.judgement ?? null };
    } catch (error) {
      return answerTo(error);
    }
  });
}

function confirmed(run: string, action: Action, given: JsonObject, by: Person): readonly string[] {
  const still = stillSo.peek();
  if (still?.run !== run || still.step !== given.step || still.person !== by.id) return [];
  if (!AT_STEP.includes(action)) return [];
  stillSo.value = null;
  return still.cautions;
}

async function record(id: string, action: Action, given: JsonObject, by: Person) {
  const person = { id: by.id, role: by.role };
  const prepared = await again(id, () =>
    call<Prepared>("prepare", { ...given, run: id, action, person, now: Date.now() }),
  );
  const event = await save({
    type: prepared.type,
    subject: `/runs/${id}`,
    person: by.id,
    data: prepared.data,
  });
  await takeSaved(id, event);
  return { event, prepared };
}

/** Asks the core about the open run, folding the run again where the core has lost it. */
export async function ask<T>(name: string, given: JsonObject): Promise<T> {
  const id = session.peek()?.id;
  if (!id) throw new Error("no run is open");
  return again(id, () => call<T>(name, { ...given, run: id }));
}

async function again<T>(id: string, work: () => Promise<T>): Promise<T> {
  try {
    return await work();
  } catch (error) {
    if (!isLost(error)) throw error;
    await refold(id);
    return work();
  }
}

/** What the core says when it is broken itself; its own words are for the console. */
const BROKEN = ["engine-lost", "core-fault", "bad-call"];

/** An error before the record was saved, in words for the person: what the core refuses, or that something is wrong. */
export function answerTo(error: unknown): Refused {
  if (error instanceof EngineError && !BROKEN.includes(error.code))
    return {
      ok: false,
      code: error.code,
      text: error.message,
      field: error.field ?? null,
      waits: error.waits ?? [],
    };
  if (error instanceof NotAccepted) return refusal(error.code, error.message);
  console.error(error);
  return refusal("failed", t("act-failed"));
}

const refusal = (code: string, text: string): Refused => ({ ok: false, code, text, field: null, waits: [] });
