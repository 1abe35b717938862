/** Over every screen of a run: where, what, how far. */
import { t } from "../../messages";
import { engineState, startEngine } from "../../state/core";
import { paper } from "../../state/paper";
import { to } from "../../state/route";
import { type Session, unfolded } from "../../state/run";
import { passed } from "./read/next";

/** One mark a step, in order; the whole rail leads to the list of all steps. */
export function Rail({ run, at }: { readonly run: Session; readonly at: string }) {
  const { order, steps } = run.view;
  const number = order.indexOf(at) + 1;
  return (
    <a class="rail" href={to("run", run.id, "more")}>
      <span class="rail-marks" aria-hidden="true">
        {order.map((id) => (
          <span key={id} data-status={steps[id]?.status} data-here={id === at} />
        ))}
      </span>
      <span class="rail-words">
        {t("run-progress", {
          number,
          steps: order.length,
          done: order.filter((id) => passed(steps[id])).length,
        })}
      </span>
    </a>
  );
}

/** What must be known on every screen of a run: keying in from paper; a view that is old; a core that did not start. */
export function Banners() {
  return (
    <>
      {paper.value && <p class="banner">{t("paper-on")}</p>}
      {unfolded.value && (
        <p class="refused" role="alert">
          {t("run-old")}
        </p>
      )}
      {engineState.value === "failed" && (
        <div class="refused" role="alert">
          <p>{t("engine-failed")}</p>
          <button type="button" class="press" onClick={() => void startEngine().catch(console.error)}>
            {t("try-again")}
          </button>
        </div>
      )}
    </>
  );
}
