/** The holds that run on this phone, in sight even while it is locked. */
import { t } from "../../messages";
import { lines } from "../../state/board";
import { procedure, stepOf, vesselName } from "../../state/known";
import { type Hold, runningHolds } from "../../state/ring";
import { session } from "../../state/run";
import { Countdown } from "../../ui/Countdown";

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

function nameOf(hold: Hold): string {
  const shown = session.value;
  const here = shown?.id === hold.run ? shown.view : lines.value.find((line) => line.id === hold.run);
  const step = stepOf(procedure(here?.procedure ?? null, here?.version ?? null), hold.step);
  return t("hold-named", { vessel: vesselName(here?.vessel ?? null), step: step?.title ?? hold.step });
}
