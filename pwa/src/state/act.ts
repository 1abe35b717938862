/**
 * Doing something to the open run: the core turns the wish into a record, or says why not, and folds it; the log keeps
 * it; only then the screen shows it. Whatever is refused comes back as an answer with words for the person, never as an exception.
 */
import { signal } from "@preact/signals";
import { call, EngineError } from "../engine";
import { current, type Person } from "../identity";
import { appendMade, type JsonObject, NotAccepted, type Stamp, type StoredEvent } from "../log";
import { t } from "../messages";
import type { Action as Made } from "../shapes";
import { expectLine, readAgain, takeLine } from "./board";
import { hasEnded } from "./core";
import { keepLooks, type Looks, lookAt } from "./looks";
import { again, inTurn, isLost, leaveUnfolded, refold, session, takeFolded } from "./run";
import { save } from "./saving";
import type { Judgement, RunLine, RunView, Trouble, VesselView, Wait } from "./view";

/** What a person does in an open run; opening one is asked for elsewhere. */
export type Action = Exclude<Made, "open">;

type Drafted = { readonly type: string; readonly data: JsonObject };
type Prepared = Drafted & { readonly judgement?: Judgement };
type After = {
  readonly run: RunView;
  readonly line: RunLine;
  readonly vessels: readonly VesselView[];
  readonly doubts: readonly Trouble[];
  readonly looks: Looks;
};
type Acted = {
  readonly drafts: readonly Drafted[];
  readonly judgement?: Judgement;
  /** What is so once they are folded; null where only the drafts came of it. */
  readonly after: After | null;
};

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
      const { events, acted } = await record(id, action, given, by);
      const event = events.at(-1);
      if (!event) return refusal("failed", t("act-failed"));
      if (STRIKABLE.includes(action)) lastMade.value = { run: id, event: event.id };
      return { ok: true, event, judgement: acted.judgement ?? null };
    } catch (error) {
      return answerTo(error);
    }
  });
}

/** Drafted and folded by the core in one call, under the stamp that the log then writes it with. */
async function record(id: string, action: Action, given: JsonObject, by: Person) {
  const asked = { ...given, run: id, action, person: { id: by.id, role: by.role } };
  const sight = typeof given.step === "string" ? inSight(given.step) : [];
  let acted: Acted = { drafts: [], after: null };
  let tries = 0;
  const make = async (stamp: Stamp) => {
    tries += 1;
    if (tries > 1) await refold(id); // what was folded under another stamp was never written
    expectLine(id, stamp.ids);
    acted = await actOnce(id, { ...asked, sight, stamp, now: Date.now() });
    return acted.drafts.map((draft) => ({ ...draft, subject: `/runs/${id}`, person: by.id }));
  };
  const events = await save(() => appendMade(make));
  show(id, acted.after, events, by);
  return { events, acted };
}

async function actOnce(id: string, asked: JsonObject): Promise<Acted> {
  try {
    return await call<Acted>("act", asked);
  } catch (error) {
    if (!isLost(error)) throw error;
    await refold(id);
    if (!hasEnded(error)) return call<Acted>("act", asked);
    // the core ended, perhaps under what follows from it; what the person did is drafted and saved all the same
    const { type, data, judgement } = await again(id, () => call<Prepared>("prepare", asked));
    return { drafts: [{ type, data }], after: null, ...(judgement ? { judgement } : {}) };
  }
}

/** The record is saved: whatever goes wrong from here on, nobody may be told otherwise. */
function show(id: string, after: After | null, events: readonly StoredEvent[], by: Person): void {
  try {
    if (after === null) throw new Error("the core could not fold what was saved");
    takeLine(after);
    takeFolded(
      id,
      after.run,
      events.map((event) => event.id),
    );
    if (by.id === current.peek()?.id) keepLooks(after.looks);
  } catch (error) {
    leaveUnfolded(id, error);
    readAgain(id);
  }
}

/** Cautions in sight over a step that were seen lately: the core says which of them the next record confirms. */
const inSight = (step: string): readonly string[] =>
  (lookAt(step)?.cautions ?? []).filter((row) => row.show === "still").map((row) => row.caution);

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
