/** Which cautions stand before a step: those of one screen, none, or null while the core is being asked. */
import { useEffect } from "preact/hooks";
import { cautionsAt, nextScreen, type Shown } from "../../../state/cautions";
import { stepOf } from "../../../state/known";
import { look } from "../../../state/looks";
import type { Session } from "../../../state/run";
import { passed } from "../read/next";

export type Due = readonly Shown[] | null;

/** Asks the core again whenever the step or the record changes. A step is never shown before its cautions are known. */
export function useDueCautions(run: Session, step: string): Due {
  useEffect(() => {
    look(step).catch(reportError);
  }, [run.id, run.live, run.view, step]);
  return dueCautions(run, step);
}

function dueCautions(run: Session, step: string): Due {
  const view = run.view.steps[step];
  const neverLocked = stepOf(run.procedure, step)?.never_locked;
  if (!view || neverLocked || passed(view) || view.waits.some((wait) => wait.code === "step")) return [];
  const known = cautionsAt(step);
  if (known) return nextScreen(known.shown);
  const some = (stepOf(run.procedure, step)?.cautions ?? []).length > 0 || view.raised.length > 0;
  return some && run.live ? null : [];
}
