/** *Just the steps*: the whole run as a list that folds what is done. The same record as the walk. */
import { useEffect, useState } from "preact/hooks";
import { t } from "../../messages";
import { meet } from "../../state/cautions";
import { personName, vesselName } from "../../state/known";
import { replace } from "../../state/route";
import type { Session } from "../../state/run";
import type { Step, StepStatus, StepView } from "../../state/view";
import { Page } from "../../ui/Page";
import { StepShape } from "../../ui/Shape";
import { timeOf } from "../../ui/time";
import { CautionScreen } from "./caution/Cautions";
import { useDueCautions } from "./caution/due";
import { Banners } from "./Head";
import { LastMade } from "./read/LastMade";
import { runName } from "./read/name";
import { looks, passed } from "./read/next";
import { valuesOf } from "./read/records";
import { Pass } from "./step/Pass";
import { StepBody } from "./step/StepBody";
import { StepDock } from "./step/StepDock";

type Props = { readonly run: Session; readonly open: string };

export function Steps({ run, open }: Props) {
  const [chosen, setChosen] = useState(open);
  useEffect(() => setChosen(open), [open]);
  const due = useDueCautions(run, chosen);
  const text = run.procedure?.steps.find((step) => step.id === chosen);
  const view = run.view.steps[chosen];
  const [reading, setReading] = useState(false);
  const [unfolded, setUnfolded] = useState(false);
  useEffect(() => {
    const head = document.querySelector(".steps > [data-open='true'] > *");
    head?.scrollIntoView({ block: "nearest" }); // not the whole step: a long one would push the page's own head away
  }, [chosen]);
  if (!run.procedure || !text || !view) return <Page title={runName(run)} back={[]} />;

  const folded = unfolded ? 0 : foldable(run, chosen);
  if (reading && due && due.length > 0)
    return (
      <CautionScreen
        over={runName(run)}
        step={text.title}
        screen={due}
        back={["run", run.id]}
        met={() => meet(chosen, due)}
      />
    );
  const pick = (step: string) => {
    setReading(false);
    setChosen(step);
    replace("run", run.id, "step", step);
  };
  return (
    <Page
      title={run.procedure.title}
      over={vesselName(run.view.vessel)}
      back={["plant"]}
      dock={
        due === null ? null : due.length > 0 ? (
          <>
            <Pass run={run} step={text} view={view} then={pick} />
            <button type="button" class="press caution" onClick={() => setReading(true)}>
              {t("caution-first", { count: due.length })}
            </button>
          </>
        ) : (
          <StepDock run={run} step={text} view={view} then={pick} />
        )
      }
    >
      <Banners />
      <LastMade run={run} />
      {folded > 0 && (
        <button type="button" class="folded" onClick={() => setUnfolded(true)}>
          <StepShape status="done" />
          {t("steps-folded", { count: folded })}
        </button>
      )}
      <ol class="steps">
        {run.procedure.steps.map((step, at) => {
          const here = run.view.steps[step.id];
          if (!here || at < folded) return null;
          const status = looks(here);
          const open = step.id === chosen;
          return (
            <li key={step.id} data-status={status} data-open={open}>
              <Line number={at + 1} step={step} view={here} status={status} open={open} pick={pick} />
              {open && due?.length === 0 && <StepBody run={run} step={step} view={here} brief />}
            </li>
          );
        })}
      </ol>
    </Page>
  );
}

/** How many steps from the top are done and can be folded into one line; the open one and the one before it stay. */
function foldable(run: Session, chosen: string): number {
  const { order, steps } = run.view;
  const at = order.findIndex((id) => id === chosen || !passed(steps[id]));
  const until = (at < 0 ? order.length : at) - 1;
  return until < 2 ? 0 : until;
}

type LineProps = {
  readonly number: number;
  readonly step: Step;
  readonly view: StepView;
  readonly status: StepStatus;
  readonly open: boolean;
  readonly pick: (step: string) => void;
};

function Line({ number, step, view, status, open, pick }: LineProps) {
  const mark = view.done ?? view.skipped;
  const values = valuesOf(step, view);
  return (
    <button type="button" class="step-line" aria-expanded={open} onClick={() => pick(step.id)}>
      <StepShape status={status} />
      <span class="step-line-words">
        <span class="step-line-title">
          <span class="unseen">{t(`step-status-${status}`)} </span>
          {t("step-numbered", { number, title: step.title })}
        </span>
        {!open && values.length > 0 && <span class="step-line-values">{values.join(" · ")}</span>}
        {!open && mark && (
          <span class="whose">
            {t("record-by", { person: personName(mark.person), time: timeOf(mark.time) })}
          </span>
        )}
        {view.status === "reopened" && <span class="whose">{t("step-reopened-short")}</span>}
      </span>
    </button>
  );
}
