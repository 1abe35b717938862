/** Under the thumb: the one next thing to do at a step, and the way to everything else. */
import { useState } from "preact/hooks";
import { t } from "../../../messages";
import { type Answer, act, type Refused } from "../../../state/act";
import { seconds } from "../../../state/clock";
import { lookAt } from "../../../state/looks";
import { left } from "../../../state/ring";
import { to } from "../../../state/route";
import { type Session, session } from "../../../state/run";
import type { Entry, Step, StepView } from "../../../state/view";
import { HoldButton } from "../../../ui/HoldButton";
import { length } from "../../../ui/time";
import { FinishPress } from "../close/Finish";
import { type Next, nextOf, passed } from "../read/next";
import { RefusedWords } from "../read/RefusedWords";
import { Pass } from "./Pass";

type Props = {
  readonly run: Session;
  readonly step: Step;
  readonly view: StepView;
  /** Where to go once the step is done. */
  readonly then: (step: string) => void;
};

export function StepDock({ run, step, view, then }: Props) {
  const [refused, setRefused] = useState<Refused | null>(null);
  const elapsed = hasElapsed(run, step, view);
  const next = nextOf(step, view, elapsed);
  const stop = passed(view) ? undefined : lookAt(step.id)?.interlocks.find((row) => row.stops);

  const tried = (answer: Answer): boolean => {
    setRefused(answer.ok ? null : answer);
    return answer.ok;
  };
  const finishStep = async () => {
    if (view.hold?.state === "running" && !tried(await act("hold-end", { step: step.id }))) return;
    if (!tried(await act("done", { step: step.id }))) return;
    const after = session.peek()?.view;
    if (after?.next && passed(after.steps[step.id])) then(after.next); // a step that waits for a signature is not left
  };
  const startHold = async () => {
    tried(await act("hold-start", { step: step.id }));
  };

  return (
    <>
      {refused && <RefusedWords run={run} refused={refused} />}
      {stop ? (
        <div class="dock-row">
          <More run={run} />
          <p class="dock-words">{t("interlock-stops", { title: stop.title })}</p>
        </div>
      ) : next.kind === "again" ? (
        <Again run={run} step={step} entry={next.entry} />
      ) : (
        <>
          <Pass run={run} step={step} view={view} then={then} />
          <div class="dock-row">
            <More run={run} />
            <Main run={run} step={step} next={next} then={then} finish={finishStep} startHold={startHold} />
          </div>
        </>
      )}
    </>
  );
}

function hasElapsed(run: Session, step: Step, { hold }: StepView): boolean {
  if (hold?.state !== "running" || hold.started === undefined) return false;
  return (
    left({ run: run.id, step: step.id, started: hold.started, seconds: hold.seconds }, seconds.value) <= 0
  );
}

function More({ run }: { readonly run: Session }) {
  return (
    <a class="press more" href={to("run", run.id, "more")}>
      {t("run-more")}
    </a>
  );
}

type AgainProps = { readonly run: Session; readonly step: Step; readonly entry: Entry };

/** After a stop: correct it and enter it again, or say that it is different and why. */
function Again({ run, step, entry }: AgainProps) {
  return (
    <>
      <EnterPress run={run} step={step} entry={entry} label={t("step-again", { label: entry.label })} />
      <div class="dock-row">
        <More run={run} />
        <a class="press" href={to("run", run.id, "deviate", step.id, entry.id)}>
          {t("deviate")}
        </a>
      </div>
    </>
  );
}

type MainProps = {
  readonly run: Session;
  readonly step: Step;
  readonly next: Exclude<Next, { readonly kind: "again" }>;
  readonly then: (step: string) => void;
  readonly finish: () => Promise<void>;
  readonly startHold: () => Promise<void>;
};

function Main({ run, step, next, then, finish, startHold }: MainProps) {
  switch (next.kind) {
    case "go":
      return (
        <a class="press main" href={to("run", run.id, "step", next.step)}>
          {next.text}
        </a>
      );
    case "enter":
      return (
        <EnterPress
          run={run}
          step={step}
          entry={next.entry}
          label={t("step-enter", { label: next.entry.label })}
        />
      );
    case "settle":
      return (
        <a class="press main" href={to("run", run.id, "settle", step.id, next.entry.id)}>
          {t("step-settle", { label: next.entry.label })}
        </a>
      );
    case "start-hold":
      return (
        <HoldButton label={t("hold-start", { time: length(next.seconds) })} onHeld={() => void startHold()} />
      );
    case "hold":
      return <p class="dock-words">{t("hold-not-over")}</p>;
    case "sign":
      return (
        <a class="press main" href={to("run", run.id, "sign", step.id)}>
          {t("step-sign")}
        </a>
      );
    case "done":
      return <DonePress step={step} finish={finish} />;
    case "passed":
      return <Onward run={run} then={then} />;
  }
}

/** A step that can hurt is done by holding; any other by a tap. */
function DonePress({ step, finish }: { readonly step: Step; readonly finish: () => Promise<void> }) {
  if (step.cautions?.length) return <HoldButton label={t("step-do")} onHeld={() => void finish()} />;
  return (
    <button type="button" class="press main" onClick={() => void finish()}>
      {t("step-do")}
    </button>
  );
}

type EnterProps = {
  readonly run: Session;
  readonly step: Step;
  readonly entry: Entry;
  readonly label: string;
};

/** Leads to the entry's own screen; a choice is made in the step itself, so the press leads the eye there. */
function EnterPress({ run, step, entry, label }: EnterProps) {
  if (entry.kind !== "choice")
    return (
      <a class="press main" href={to("run", run.id, entry.works ? "work" : "enter", step.id, entry.id)}>
        {label}
      </a>
    );
  const show = () => {
    const options = document.getElementById(`field-${step.id}-${entry.id}`);
    options?.scrollIntoView({ block: "center" });
    options?.querySelector("button")?.focus();
  };
  return (
    <button type="button" class="press main" onClick={show}>
      {t("step-choose", { label: entry.label })}
    </button>
  );
}

function Onward({ run, then }: { readonly run: Session; readonly then: (step: string) => void }) {
  const { next } = run.view;
  if (next)
    return (
      <button type="button" class="press main" onClick={() => then(next)}>
        {t("step-next")}
      </button>
    );
  return <FinishPress run={run} />;
}
