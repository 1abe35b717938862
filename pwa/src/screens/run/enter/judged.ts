/** What the core would make of a value before it is recorded. */
import { useEffect, useState } from "preact/hooks";
import { answerTo, type Refused } from "../../../state/act";
import { ask } from "../../../state/run";
import type { Entry, Judgement, Step } from "../../../state/view";

export type Judged = {
  readonly typed: string;
  readonly judgement: Judgement | null;
  readonly refused: Refused | null;
};

export function useJudged(step: Step, entry: Entry, typed: string): Judged | null {
  const [judged, setJudged] = useState<Judged | null>(null);
  useEffect(() => {
    if (typed === "") return setJudged(null);
    let stale = false;
    ask<Judgement>("judge", { step: step.id, field: entry.id, typed })
      .then(
        (judgement) => ({ typed, judgement, refused: null }),
        (error: unknown) => ({ typed, judgement: null, refused: answerTo(error) }),
      )
      .then((next) => !stale && setJudged(next), reportError);
    return () => {
      stale = true;
    };
  }, [step.id, entry.id, typed]);
  return judged;
}
