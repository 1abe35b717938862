/**
 * A worked entry: the core proposes the value with its working, and the person confirms it. The sum is the one that
 * the procedure puts behind the entry, which asks here for what it still lacks, or one brought from the page of sums.
 */
import { useEffect, useState } from "preact/hooks";
import { known, t } from "../../../messages";
import { act, answerTo, type Refused } from "../../../state/act";
import { alarmFor } from "../../../state/alarm";
import { stepOf } from "../../../state/known";
import { leave, replace, to } from "../../../state/route";
import { ask, type Session } from "../../../state/run";
import { type Asked, calculations, type Figures, given as filled, lastFigures } from "../../../state/sums";
import type { Working as Done, Entry, JsonObject, Step } from "../../../state/view";
import { figure } from "../../../ui/figures";
import { Page } from "../../../ui/Page";
import { TextField } from "../../../ui/TextField";
import { Verdict } from "../../../ui/Verdict";
import { Working } from "../../../ui/Working";
import { LastMade } from "../read/LastMade";
import { RefusedWords } from "../read/RefusedWords";
import { useJudged } from "./judged";
import { leaving } from "./leaving";

type Props = { readonly run: Session; readonly step: string; readonly field: string };
type Worked = { readonly sum: Done | null; readonly refused: Refused | null };

export function Work({ run, step, field }: Props) {
  const text = stepOf(run.procedure, step);
  const entry = text?.entries?.find((row) => row.id === field);
  if (!text || !entry?.works) return <Page title={t("not-found")} back={["run", run.id, "step", step]} />;
  return <Sheet run={run} step={text} entry={entry} calculation={entry.works.calculation} />;
}

type BroughtProps = Props & { readonly calculation: string; readonly result: string };

/** A sum done outside the run, with the figures last given to it on this phone. */
export function Brought({ run, step, field, calculation, result }: BroughtProps) {
  const [inputs, setInputs] = useState<Figures | null>(null);
  useEffect(() => {
    lastFigures(calculation).then(setInputs, reportError);
  }, [calculation]);
  const text = stepOf(run.procedure, step);
  const entry = text?.entries?.find((row) => row.id === field);
  if (!text || !entry || !inputs)
    return (
      <Page title={inputs ? t("not-found") : (entry?.label ?? "")} back={["run", run.id, "step", step]} />
    );
  const sum = { calculation, inputs: filled(inputs), result };
  return <Sheet run={run} step={text} entry={entry} calculation={calculation} brought={sum} />;
}

type Sum = { readonly calculation: string; readonly inputs: Figures; readonly result: string };
type SheetProps = {
  readonly run: Session;
  readonly step: Step;
  readonly entry: Entry;
  readonly calculation: string;
  readonly brought?: Sum;
};

function Sheet({ run, step, entry, calculation, brought }: SheetProps) {
  const [values, setValues] = useState<Readonly<Record<string, string>>>({});
  const [worked, setWorked] = useState<Worked>({ sum: null, refused: null });
  const [refused, setRefused] = useState<Refused | null>(null);
  const inputs = useInputs(calculation);
  const from: JsonObject = brought ? { sum: brought } : { values: filled(values) };

  useEffect(() => {
    let stale = false;
    ask<Done>("work", { step: step.id, field: entry.id, ...from })
      .then(
        (sum) => ({ sum, refused: null }),
        (error: unknown) => ({ sum: null, refused: answerTo(error) }),
      )
      .then((next) => !stale && setWorked(next), reportError);
    return () => {
      stale = true;
    };
  }, [step.id, entry.id, JSON.stringify(from)]);

  const proposed = worked.sum?.proposed ?? null;
  const judgement = useJudged(step, entry, proposed ?? "")?.judgement;
  const use = async () => {
    if (proposed === null) return;
    const done = leaving(run.id, step, entry.id, brought ? replace : leave);
    const answer = await act("enter", {
      step: step.id,
      field: entry.id,
      typed: proposed,
      how: "worked",
      ...from,
    });
    if (!answer.ok) return setRefused(answer);
    alarmFor(answer.judgement?.raises ?? []);
    done(answer.judgement?.verdict);
  };

  return (
    <Page
      title={entry.label}
      over={step.title}
      back={["run", run.id, "step", step.id]}
      dock={
        <>
          {refused && <RefusedWords run={run} refused={refused} />}
          <div class="dock-row">
            <a class="press more" data-replace href={to("run", run.id, "enter", step.id, entry.id)}>
              {t("work-key")}
            </a>
            {proposed !== null && (
              <button type="button" class="press main" onClick={() => void use()}>
                {t("work-use", { value: figure(proposed), unit: entry.unit ?? "" })}
              </button>
            )}
          </div>
        </>
      }
    >
      {brought && entry.instrument && (
        <p class="banner">
          {t("work-for-reading", { instrument: known(`instrument-${entry.instrument}`, entry.instrument) })}
        </p>
      )}
      <LastMade run={run} />
      {worked.refused && <p class="wrong">{worked.refused.text}</p>}
      {worked.sum && (
        <Working working={worked.sum}>
          {judgement?.limit && (
            <Verdict verdict={judgement.verdict} advice={judgement.advice} limit={judgement.limit} />
          )}
        </Working>
      )}
      {!brought && (worked.refused || Object.keys(values).length > 0) && (
        <fieldset class="lacking">
          <legend>{t("work-inputs")}</legend>
          {inputs.map((input) => (
            <TextField
              key={input.id}
              label={input.unit ? `${input.label} (${input.unit})` : input.label}
              value={values[input.id] ?? ""}
              onValue={(value) => setValues({ ...values, [input.id]: value })}
              numeric
            />
          ))}
        </fieldset>
      )}
    </Page>
  );
}

/** What the calculation can be given, from the core's own listing. */
function useInputs(calculation: string): readonly Asked[] {
  const [inputs, setInputs] = useState<readonly Asked[]>([]);
  useEffect(() => {
    calculations().then(
      (rows) => setInputs(rows.find((row) => row.name === calculation)?.inputs ?? []),
      reportError,
    );
  }, [calculation]);
  return inputs;
}
