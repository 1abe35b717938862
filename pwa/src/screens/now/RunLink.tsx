/** One open run in a list: where, what, how far, and the hold that runs in it. */
import { t } from "../../messages";
import { useSeconds } from "../../state/clock";
import { procedure, runTitle, stepOf } from "../../state/known";
import { left } from "../../state/ring";
import { to } from "../../state/route";
import type { RunLine } from "../../state/view";
import { length } from "../../ui/time";

export function RunLink({ line }: { readonly line: RunLine }) {
  return (
    <a class="run-link" href={to("run", line.id)}>
      <span class="run-link-name">{runTitle(line.vessel, line.title)}</span>
      <Progress line={line} />
    </a>
  );
}

/** "7 of 18 done · next: Titrate the caustic", and the time a hold has left. */
export function Progress({ line }: { readonly line: RunLine }) {
  const next = stepOf(procedure(line.procedure, line.version), line.next);
  return (
    <>
      <span>{t("line-progress", { done: line.done, steps: line.steps })}</span>
      {line.hold && <HoldLeft started={line.hold.started} seconds={line.hold.seconds} />}
      {next && !line.hold && <span>{t("line-next", { title: next.title })}</span>}
    </>
  );
}

function HoldLeft({ started, seconds }: { readonly started: number; readonly seconds: number }) {
  const rest = left({ run: "", step: "", started, seconds }, useSeconds());
  return (
    <span class="hold-left" data-over={rest <= 0}>
      {rest > 0 ? t("line-hold", { time: length(rest) }) : t("line-hold-over")}
    </span>
  );
}
