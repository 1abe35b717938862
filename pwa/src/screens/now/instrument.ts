/** How an instrument stands, in words. */
import { t } from "../../messages";
import type { InstrumentView } from "../../state/view";
import { moment } from "../../ui/time";

export function standing({ state, failed, due, last_good: good }: InstrumentView<number | string>): string {
  if (state === "failed" && failed !== null) return t("instrument-failed", { time: moment(failed) });
  if (state === "due" && due !== null) return t("instrument-due-since", { time: moment(due) });
  if (state === "good" && good !== null) return t("instrument-good", { time: moment(good) });
  return t(state === "due" ? "instrument-unchecked" : "instrument-out");
}
