/** Leaving an entry that is in the record: to its step, or straight on to the next that is to be keyed or worked out. */
import { leave, leaveFromHere, replace } from "../../../state/route";
import { session } from "../../../state/run";
import type { Entry, Step, Verdict } from "../../../state/view";
import { nextOf } from "../read/next";

/** To be called before the record is made; what it answers leaves with the verdict, unless the person has gone elsewhere. */
export function leaving(run: string, step: Step, field: string, way: typeof leave = leave) {
  const back = leaveFromHere(way);
  const on = leaveFromHere(replace);
  const corrected = session.peek()?.view.steps[step.id]?.entries[field]?.status === "live";
  return (verdict: Verdict | undefined): void => {
    // after a correction the person says what comes next: more may have to be corrected
    const next = corrected ? null : following(step, field, verdict);
    if (next) on("run", run, next.works ? "work" : "enter", step.id, next.id);
    else back("run", run, "step", step.id);
  };
}

/** The entry that follows, when nothing is to be read about the one just made and no eye has to choose. */
function following(step: Step, field: string, verdict: Verdict | undefined): Entry | null {
  const view = session.peek()?.view.steps[step.id];
  if (!view || verdict === "advise" || verdict === "stop") return null;
  const next = nextOf(step, view, false);
  if (next.kind !== "enter" || next.entry.id === field) return null;
  return next.entry.kind === "choice" || next.entry.kind === "photo" ? null : next.entry;
}
