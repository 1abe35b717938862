/** The holds that run on this phone: large while it is locked, in a strip over every screen while it is not. */
import { t } from "../../messages";
import { lines } from "../../state/board";
import { seconds } from "../../state/clock";
import { procedure, stepOf, vesselName } from "../../state/known";
import { type Hold, left, runningHolds, stageOf } from "../../state/ring";
import { to } from "../../state/route";
import { session } from "../../state/run";
import { Countdown } from "../../ui/Countdown";
import { length } from "../../ui/time";

export function RunningHolds() {
  return (
    <>
      {runningHolds().map((hold) => (
        <section class="running-hold" key={`${hold.run} ${hold.step}`}>
          <h2>{nameOf(hold)}</h2>
          <Countdown hold={hold} />
        </section>
      ))}
    </>
  );
}

/** Each leads to its step. Time passes here while any hold runs. */
export function HoldStrip() {
  const holds = runningHolds();
  if (holds.length === 0) return null;
  return (
    <nav class="holds" aria-label={t("holds")}>
      {holds.map((hold) => {
        const rest = left(hold, seconds.value);
        const line = lines.value.find(({ id }) => id === hold.run);
        return (
          <a
            key={`${hold.run} ${hold.step}`}
            class="hold-strip"
            data-stage={stageOf(rest)}
            href={to("run", hold.run, "step", hold.step)}
          >
            <span>{line?.vessel ? vesselName(line.vessel) : line?.title}</span>{" "}
            <strong>{length(Math.abs(rest))}</strong> <span>{t(`hold-stage-${stageOf(rest)}`)}</span>
          </a>
        );
      })}
    </nav>
  );
}

function nameOf(hold: Hold): string {
  const shown = session.value;
  const here = shown?.id === hold.run ? shown.view : lines.value.find((line) => line.id === hold.run);
  const step = stepOf(procedure(here?.procedure ?? null, here?.version ?? null), hold.step);
  return t("hold-named", { vessel: vesselName(here?.vessel ?? null), step: step?.title ?? hold.step });
}
