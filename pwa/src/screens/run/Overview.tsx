/** Every step with its state; a press leads to it. */
import { t } from "../../messages";
import { to } from "../../state/route";
import type { Session } from "../../state/run";
import { StepShape } from "../../ui/Shape";
import { looks } from "./read/next";

export function Overview({ run, at = null }: { readonly run: Session; readonly at?: string | null }) {
  return (
    <ol class="overview">
      {run.procedure?.steps.map((step, index) => {
        const view = run.view.steps[step.id];
        return (
          view && (
            <li key={step.id} data-status={looks(view)}>
              <a href={to("run", run.id, "step", step.id)} aria-current={step.id === at ? "step" : undefined}>
                <StepShape status={looks(view)} />
                <span>
                  <span class="unseen">{t(`step-status-${looks(view)}`)} </span>
                  {t("step-numbered", { number: index + 1, title: step.title })}
                </span>
              </a>
            </li>
          )
        );
      })}
    </ol>
  );
}
