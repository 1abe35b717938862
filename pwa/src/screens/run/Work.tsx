/** A worked entry: the core proposes the value with its working; what the sum still lacks is asked for here. */
import { useEffect, useState } from "preact/hooks";
import { call } from "../../engine";
import { t } from "../../messages";
import { act, answerTo, ask, type Refused } from "../../state/act";
import { stepOf } from "../../state/known";
import { leaveFromHere, to } from "../../state/route";
import type { Session } from "../../state/run";
import type { Entry, Step, Working as Sum } from "../../state/view";
import { figure } from "../../ui/figures";
import { Page } from "../../ui/Page";
import { TextField } from "../../ui/TextField";
import { Verdict } from "../../ui/Verdict";
import { Working } from "../../ui/Working";
import { useJudged } from "./judged";
import { RefusedWords } from "./RefusedWords";

type Props = { readonly run: Session; readonly step: string; readonly field: string };
type Input = {
  readonly id: string;
  readonly label: string;
  readonly unit: string;
  readonly default?: string;
};
type Row = { readonly name: string; readonly inputs: readonly Input[] };
type Worked = { readonly sum: Sum | null; readonly refused: Refused | null };

export function Work({ run, step, field }: Props) {
  const text = stepOf(run.procedure, step);
  const entry = text?.entries?.find((row) => row.id === field);
  if (!text || !entry?.works) return <Page title={t("not-found")} back={["run", run.id, "step", step]} />;
  return <Sheet run={run} step={text} entry={entry} calculation={entry.works.calculation} />;
}

type SheetProps = {
  readonly run: Session;
  readonly step: Step;
  readonly entry: Entry;
  readonly calculation: string;
};

function Sheet({ run, step, entry, calculation }: SheetProps) {
  const [values, setValues] = useState<Readonly<Record<string, string>>>({});
  const [worked, setWorked] = useState<Worked>({ sum: null, refused: null });
  const [refused, setRefused] = useState<Refused | null>(null);
  const inputs = useInputs(calculation);
  const given = Object.fromEntries(Object.entries(values).filter(([, value]) => value.trim() !== ""));

  useEffect(() => {
    let stale = false;
    ask<Sum>("work", { step: step.id, field: entry.id, values: given })
      .then(
        (sum) => ({ sum, refused: null }),
        (error: unknown) => ({ sum: null, refused: answerTo(error) }),
      )
      .then((next) => !stale && setWorked(next), console.error);
    return () => {
      stale = true;
    };
  }, [step.id, entry.id, JSON.stringify(given)]);

  const proposed = worked.sum?.proposed ?? null;
  const judgement = useJudged(step, entry, proposed ?? "")?.judgement;
  const use = async () => {
    if (proposed === null) return;
    const done = leaveFromHere();
    const answer = await act("enter", {
      step: step.id,
      field: entry.id,
      typed: proposed,
      how: "worked",
      values: given,
    });
    if (answer.ok) done("run", run.id, "step", step.id);
    else setRefused(answer);
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
            <a class="press more" href={to("run", run.id, "enter", step.id, entry.id)}>
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
      {worked.refused && <p class="wrong">{worked.refused.text}</p>}
      {worked.sum && (
        <Working working={worked.sum}>
          {judgement?.limit && (
            <Verdict verdict={judgement.verdict} advice={judgement.advice} limit={judgement.limit} />
          )}
        </Working>
      )}
      {(worked.refused || Object.keys(values).length > 0) && (
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
function useInputs(calculation: string): readonly Input[] {
  const [inputs, setInputs] = useState<readonly Input[]>([]);
  useEffect(() => {
    call<{ calculations: readonly Row[] }>("about", {}).then(
      ({ calculations }) => setInputs(calculations.find((row) => row.name === calculation)?.inputs ?? []),
      console.error,
    );
  }, [calculation]);
  return inputs;
}
