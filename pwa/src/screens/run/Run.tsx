/** One run: opens it, and picks the screen for the rest of the address. */
import type { JSX } from "preact";
import { useEffect } from "preact/hooks";
import { t } from "../../messages";
import { useBefore } from "../../state/before";
import { lines } from "../../state/board";
import { mode } from "../../state/mode";
import { to } from "../../state/route";
import { missing, openRun, type Session, session, unfolded } from "../../state/run";
import { useAwake } from "../../state/wake";
import { fetchRun, syncNow } from "../../sync";
import { Page } from "../../ui/Page";
import { type Parts, useLater } from "../load";
import { CautionAgain, Met } from "./caution/Cautions";
import { Closed } from "./close/Closed";
import { Enter } from "./enter/Enter";
import { Brought, Work } from "./enter/Work";
import { Steps } from "./Steps";
import { Walk } from "./Walk";

type Sub = (session: Session, parts: readonly string[]) => JSX.Element;

const SUBS: Readonly<Record<string, Sub>> = {
  step: (run, [step]) => <Main run={run} step={step ?? null} />,
  enter: (run, [step = "", field = ""]) => (
    <Met run={run} step={step}>
      <Enter run={run} step={step} field={field} />
    </Met>
  ),
  work: (run, [step = "", field = ""]) => (
    <Met run={run} step={step}>
      <Work run={run} step={step} field={field} />
    </Met>
  ),
  sum: (run, [step = "", field = "", calculation = "", result = ""]) => (
    <Met run={run} step={step}>
      <Brought run={run} step={step} field={field} calculation={calculation} result={result} />
    </Met>
  ),
  settle: (run, [step = "", field = ""]) => (
    <Late run={run}>{({ Settle }) => <Settle run={run} step={step} field={field} />}</Late>
  ),
  sign: (run, [step = ""]) => <Late run={run}>{({ Sign }) => <Sign run={run} step={step} />}</Late>,
  override: (run, [step = "", interlock = ""]) => (
    <Late run={run}>{({ Override }) => <Override run={run} step={step} interlock={interlock} />}</Late>
  ),
  strike: (run, [event = ""]) => <Late run={run}>{({ Strike }) => <Strike run={run} event={event} />}</Late>,
  note: (run, [step]) => <Late run={run}>{({ Note }) => <Note run={run} step={step ?? null} />}</Late>,
  deviate: (run, [step, field]) => (
    <Late run={run}>{({ Deviate }) => <Deviate run={run} step={step ?? null} field={field ?? null} />}</Late>
  ),
  answer: (run, [deviation = ""]) => (
    <Late run={run}>{({ Answer }) => <Answer run={run} deviation={deviation} />}</Late>
  ),
  skip: (run, [step = ""]) => <Late run={run}>{({ Skip }) => <Skip run={run} step={step} />}</Late>,
  abandon: (run) => <Late run={run}>{({ Abandon }) => <Abandon run={run} />}</Late>,
  caution: (run, [id = ""]) => <CautionAgain run={run} id={id} />,
  more: (run) => <Late run={run}>{({ More }) => <More run={run} />}</Late>,
  sheet: (run) => <Late run={run}>{({ Sheet }) => <Sheet run={run} />}</Late>,
};

export function Run({ id, parts }: { readonly id: string; readonly parts: readonly string[] }) {
  useAwake();
  useEffect(() => {
    openRun(id).catch(reportError);
  }, [id]);
  const run = session.value;
  if (missing.value?.id === id) return <NotHere id={id} />;
  if (run?.id !== id)
    return (
      <Page title={t("run")} back={[]}>
        {unfolded.value === id && <p class="banner">{t("run-not-shown")}</p>}
      </Page>
    );
  const [name, ...rest] = parts;
  const sub = name === undefined ? undefined : SUBS[name];
  return sub ? sub(run, rest) : <Main run={run} step={null} />;
}

type LateProps = { readonly run: Session; readonly children: (parts: Parts) => JSX.Element };

/** What is seldom asked for at a step, loaded when it is. */
function Late({ run, children }: LateProps) {
  const parts = useLater();
  return parts ? children(parts) : <Page title={run.view.title} back={["run", run.id]} />;
}

function Main({ run, step }: { readonly run: Session; readonly step: string | null }) {
  useBefore(run);
  if (run.view.status !== "open") return <Closed run={run} />;
  const at = step ?? run.view.next ?? run.view.order.at(-1) ?? "";
  return mode.value === "walk" ? <Walk run={run} step={at} /> : <Steps run={run} open={at} />;
}

/** A run that is older than what phones keep, or was opened on a phone that has not been heard of. */
function NotHere({ id }: { readonly id: string }) {
  const ask = async () => {
    await fetchRun(id);
    await syncNow();
    await openRun(id);
  };
  return (
    <Page
      title={t("run-missing")}
      back={[]}
      dock={
        <button type="button" class="press main" onClick={() => void ask().catch(reportError)}>
          {t("run-missing-ask")}
        </button>
      }
    >
      <p>{t("run-missing-why")}</p>
    </Page>
  );
}

/** The run this phone touched last: the home screen's shortcut leads here. */
export function LastRun() {
  const last = lines.value.find((line) => line.status === "open") ?? lines.value[0];
  if (last) return <Run id={last.id} parts={[]} />;
  return (
    <Page title={t("last-none")} back={[]}>
      <a class="press main" href={to("plant")}>
        {t("plant-title")}
      </a>
    </Page>
  );
}
