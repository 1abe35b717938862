/** *Walk me through*: one step a screen. What hurts first, then what, why, how, the entries, and the next thing to do. */
import { t } from "../../messages";
import { meet } from "../../state/cautions";
import { stepOf } from "../../state/known";
import { go, to } from "../../state/route";
import type { Session } from "../../state/run";
import { Page } from "../../ui/Page";
import { CautionScreen } from "./caution/Cautions";
import { useDueCautions } from "./caution/due";
import { Banners, Rail } from "./Head";
import { Overview } from "./Overview";
import { LastMade } from "./read/LastMade";
import { runName } from "./read/name";
import { Pass } from "./step/Pass";
import { StepBody } from "./step/StepBody";
import { StepDock } from "./step/StepDock";

type Props = { readonly run: Session; readonly step: string };

export function Walk({ run, step }: Props) {
  return (
    <div class="two">
      <aside class="two-aside" aria-label={t("more-steps")}>
        <Overview run={run} at={step} />
      </aside>
      <div class="two-main">
        <OneStep run={run} step={step} />
      </div>
    </div>
  );
}

function OneStep({ run, step }: Props) {
  const due = useDueCautions(run, step);
  const text = stepOf(run.procedure, step);
  const view = run.view.steps[step];
  const onward = (next: string) => go("run", run.id, "step", next);
  if (!text || !view) return <Page title={runName(run)} back={[]} />;
  if (due === null) return <Page title={text.title} over={runName(run)} back={["plant"]} />;
  if (due.length > 0)
    return (
      <CautionScreen
        over={runName(run)}
        step={text.title}
        screen={due}
        back={["plant"]}
        met={() => meet(step, due)}
        instead={<Pass run={run} step={text} view={view} then={onward} />}
      />
    );
  return (
    <Page
      title={text.title}
      over={runName(run)}
      back={["plant"]}
      dock={<StepDock run={run} step={text} view={view} then={onward} />}
    >
      <Rail run={run} at={step} />
      <Banners />
      <LastMade run={run} />
      <StepBody run={run} step={text} view={view} />
      <Neighbours run={run} step={step} />
    </Page>
  );
}

function Neighbours({ run, step }: Props) {
  const { order } = run.view;
  const at = order.indexOf(step);
  const before = order[at - 1];
  const after = order[at + 1];
  return (
    <nav class="neighbours" aria-label={t("run-neighbours")}>
      {before && <a href={to("run", run.id, "step", before)}>{t("run-before")}</a>}
      {after && <a href={to("run", run.id, "step", after)}>{t("run-after")}</a>}
    </nav>
  );
}
