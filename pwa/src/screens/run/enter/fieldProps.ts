/** What every kind of entry is shown from. */
import type { Session } from "../../../state/run";
import type { Entry, FieldView, Step, StepView } from "../../../state/view";

export type FieldProps = {
  readonly run: Session;
  readonly step: Step;
  readonly entry: Entry;
  readonly field: FieldView;
  readonly view: StepView;
};
