/** Finding a record of the open run by its id, with words for it. */
import { t } from "../../../messages";
import { stepOf } from "../../../state/known";
import type { Session } from "../../../state/run";
import type { Mark, Step, StepView } from "../../../state/view";
import { entryText } from "../../../ui/values";

export type Found = {
  readonly step: string | null;
  readonly what: string;
  readonly time: string;
  readonly person: string;
  readonly struck: boolean;
};

export function recordOf(run: Session, event: string): Found | null {
  const { steps, notes, deviations, strikes } = run.view;
  const struck = strikes.some((strike) => strike.target === event);
  for (const [id, view] of Object.entries(steps)) {
    const found = inStep(stepOf(run.procedure, id), view, event);
    if (found) return { ...found, step: id, struck };
  }
  for (const row of [...notes, ...deviations])
    if (row.event === event)
      return { step: row.step, what: row.text, time: row.time, person: row.person, struck };
  return null;
}

type Part = Omit<Found, "step" | "struck">;

function inStep(step: Step | undefined, view: StepView, event: string): Part | null {
  const title = step?.title ?? "";
  if (view.done?.event === event) return part(view.done, t("record-done", { title }));
  if (view.skipped?.event === event) return part(view.skipped, t("record-skipped", { title }));
  if (view.hold?.event === event && view.hold.started !== undefined)
    return { time: new Date(view.hold.started).toISOString(), person: "", what: t("record-hold", { title }) };
  for (const entry of step?.entries ?? []) {
    const record = view.entries[entry.id]?.all.find((row) => row.event === event);
    if (record)
      return part(record, t("record-entry", { label: entry.label, value: entryText(entry, record) }));
  }
  return null;
}

const part = (mark: Mark, what: string): Part => ({ what, time: mark.time, person: mark.person });

/** What a list shows of a step that is done: its last values. */
export function valuesOf(step: Step, view: StepView): string[] {
  return (step.entries ?? []).flatMap((entry) => {
    const field = view.entries[entry.id];
    if (field?.status !== "live" || field.value === null || entry.kind === "photo") return [];
    return [entryText(entry, { value: field.value, unit: field.unit })];
  });
}
