/** The hold of a step: how long, how much is left, and what this phone can do when it is over. */
import { t } from "../../../messages";
import { calling, ring } from "../../../state/ring";
import { to } from "../../../state/route";
import type { Session } from "../../../state/run";
import type { Step, StepView } from "../../../state/view";
import { wake } from "../../../state/wake";
import { Countdown } from "../../../ui/Countdown";
import { length } from "../../../ui/time";

type Props = { readonly run: Session; readonly step: Step; readonly view: StepView };

export function HoldPart({ run, step, view }: Props) {
  const { hold } = view;
  if (!hold) return null;
  if (hold.state === "running" && hold.started !== undefined && view.status !== "done")
    return (
      <section class="hold-part">
        <Countdown hold={{ run: run.id, step: step.id, started: hold.started, seconds: hold.seconds }} />
        <RingWords />
        {hold.event && (
          <a class="aside-link" href={to("run", run.id, "strike", hold.event)}>
            {t("hold-strike")}
          </a>
        )}
      </section>
    );
  return (
    <p class="hold-length">
      {t(view.status === "done" || hold.state === "over" ? "hold-held" : "hold-least", {
        time: length(hold.seconds),
      })}
    </p>
  );
}

/** Plainly: whether this phone will sound, and whether it must be kept awake for that. */
function RingWords() {
  return (
    <p class="help">
      {t(`ring-${calling.value === "both" ? ring.value : "quiet"}`)}{" "}
      {t(wake.value === "on" ? "ring-awake" : "ring-asleep")}
    </p>
  );
}
