/** Passing by a step that its procedure calls optional: one press, recorded, and on to the next. */
import { useState } from "preact/hooks";
import { t } from "../../../messages";
import { act, type Refused } from "../../../state/act";
import { type Session, session } from "../../../state/run";
import type { Step, StepView } from "../../../state/view";
import { passed } from "../read/next";
import { RefusedWords } from "../read/RefusedWords";

type Props = {
  readonly run: Session;
  readonly step: Step;
  readonly view: StepView;
  readonly then: (step: string) => void;
};

export function Pass({ run, step, view, then }: Props) {
  const [refused, setRefused] = useState<Refused | null>(null);
  const begun = Object.values(view.entries).some((entry) => entry.status !== "empty") || view.done !== null;
  const waits = view.waits.some((wait) => wait.code === "step");
  if (!step.optional || begun || waits || passed(view)) return null;
  const pass = async () => {
    const answer = await act("skip", { step: step.id, reason: t("pass-reason") });
    if (!answer.ok) return setRefused(answer);
    const next = session.peek()?.view.next;
    if (next) then(next);
  };
  return (
    <>
      {refused && <RefusedWords run={run} refused={refused} />}
      <button type="button" class="press pass" onClick={() => void pass()}>
        {t("pass-do")}
      </button>
    </>
  );
}
