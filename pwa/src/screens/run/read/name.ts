/** The run by its vessel and what is done on it. */
import { runTitle } from "../../../state/known";
import type { Session } from "../../../state/run";

export const runName = (run: Session): string =>
  runTitle(run.view.vessel, run.procedure?.title ?? run.view.title);
