/** Acting from a screen of its own: back to where it was asked for once it is recorded, and why not where it is refused. */
import { useState } from "preact/hooks";
import { type Action, act, type Refused } from "../../../state/act";
import { stepOf } from "../../../state/known";
import { leaveFromHere, type Route } from "../../../state/route";
import type { Session } from "../../../state/run";
import type { JsonObject } from "../../../state/view";

export type Asked = { readonly run: Session; readonly step: string | null };

export const homeOf = (run: Session, step: string | null): Route =>
  step ? ["run", run.id, "step", step] : ["run", run.id];

/** Acts, goes back when it is recorded, and otherwise says why not. */
export function useAct(home: Route): [Refused | null, (action: Action, given: JsonObject) => Promise<void>] {
  const [refused, setRefused] = useState<Refused | null>(null);
  const attempt = async (action: Action, given: JsonObject) => {
    const done = leaveFromHere();
    const answer = await act(action, given);
    if (answer.ok) done(...home);
    else setRefused(answer);
  };
  return [refused, attempt];
}

export const stepTitle = (run: Session, step: string | null): string | undefined =>
  stepOf(run.procedure, step)?.title;
