/** Which of the runs that wait for a review belong together, and which are routine. */
import type { Waiting } from "../answers";

export const GROUPS: readonly string[] = ["cleans", "others"];

export const ofGroup = (rows: readonly Waiting[], of: string): readonly Waiting[] =>
  rows.filter((row) => (row.kind === "cleaning") === (of === "cleans"));

/** Finished as its procedure says: nothing found, nothing raised, nothing struck or disputed. */
export const isRoutine = (row: Waiting): boolean =>
  row.status === "finished" &&
  row.findings.length === 0 &&
  row.deviations === 0 &&
  row.strikes === 0 &&
  row.contested === 0 &&
  !row.fault &&
  row.digest !== undefined;
