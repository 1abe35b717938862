/** What was recorded last on this phone, with its strike one press away for as long as the run is open. */
import { t } from "../../../messages";
import { lastMade } from "../../../state/act";
import { stepOf } from "../../../state/known";
import { to } from "../../../state/route";
import type { Session } from "../../../state/run";
import { timeOf } from "../../../ui/time";
import { recordOf } from "./records";

export function LastMade({ run }: { readonly run: Session }) {
  const last = lastMade.value;
  if (!last || last.run !== run.id || run.view.status !== "open") return null;
  const record = recordOf(run, last.event);
  if (!record || record.struck) return null;
  const step = stepOf(run.procedure, record.step);
  return (
    <p class="last-made" role="status">
      <span>{t("last-made", { time: timeOf(record.time), what: record.what || step?.title || "" })}</span>
      <a class="press small" href={to("run", run.id, "strike", last.event)}>
        {t("strike")}
      </a>
    </p>
  );
}
