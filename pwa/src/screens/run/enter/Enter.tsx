/** Keying one entry. The core judges what is on the screen before it is kept, so a slip is seen at once. */
import type { ComponentChildren, ComponentType } from "preact";
import { useEffect, useState } from "preact/hooks";
import { t } from "../../../messages";
import { act, type Refused } from "../../../state/act";
import { alarmFor } from "../../../state/alarm";
import { lastTime } from "../../../state/before";
import { forgetKeyed, useHalfKeyed } from "../../../state/halfKeyed";
import { stepOf } from "../../../state/known";
import { how } from "../../../state/paper";
import { readWith } from "../../../state/readwith";
import type { Session } from "../../../state/run";
import type { Entry, Verdict as Kind, Step } from "../../../state/view";
import { decimalMark, figure } from "../../../ui/figures";
import { Keypad } from "../../../ui/Keypad";
import { Page } from "../../../ui/Page";
import { TextField } from "../../../ui/TextField";
import { Limit, Verdict, VerdictWord } from "../../../ui/Verdict";
import { entryText } from "../../../ui/values";
import { later } from "../../load";
import { LastMade } from "../read/LastMade";
import { RefusedWords } from "../read/RefusedWords";
import { type Judged, useJudged } from "./judged";
import { leaving } from "./leaving";

type Props = { readonly run: Session; readonly step: string; readonly field: string };

export function Enter({ run, step, field }: Props) {
  const text = stepOf(run.procedure, step);
  const entry = text?.entries?.find((row) => row.id === field);
  if (!text || !entry) return <Page title={t("not-found")} back={["run", run.id, "step", step]} />;
  const Form = entry.kind === "reading" || entry.kind === "count" ? NumberForm : WordsForm;
  return <Form key={`${step} ${field}`} run={run} step={text} entry={entry} />;
}

type FormProps = { readonly run: Session; readonly step: Step; readonly entry: Entry };

/** Keeps the entry; true when it is in the record and the screen can be left. */
async function enter(props: FormProps, typed: string, refuse: (refused: Refused) => void): Promise<void> {
  const { run, step, entry } = props;
  const done = leaving(run.id, step, entry.id);
  const answer = await act("enter", {
    step: step.id,
    field: entry.id,
    typed,
    how: how(),
    ...(await readWith(run, entry)),
  });
  if (!answer.ok) return refuse(answer);
  await forgetKeyed(run, step, entry);
  alarmFor(answer.judgement?.raises ?? []);
  done(answer.judgement?.verdict);
}

function NumberForm(props: FormProps) {
  const { run, step, entry } = props;
  const [typed, setTyped] = useHalfKeyed(run, step, entry);
  const [refused, setRefused] = useState<Refused | null>(null);
  const judged = useJudged(step, entry, typed);
  const unit = entry.unit ?? "";
  return (
    <Page
      title={entry.label}
      over={step.title}
      back={["run", run.id, "step", step.id]}
      tall
      dock={
        <>
          {refused && <RefusedWords run={run} refused={refused} />}
          <Typed typed={typed} unit={unit} verdict={verdictOf(judged)} />
          <Keypad
            text={typed}
            onText={(next) => {
              setTyped(next);
              setRefused(null);
            }}
            point={entry.kind === "reading" && entry.places !== 0}
            sign={signed(entry)}
          />
          <button
            type="button"
            class="press main"
            aria-disabled={typed === ""}
            onClick={() => typed !== "" && void enter(props, typed, setRefused)}
          >
            {typed === "" ? t("enter-empty") : t("enter-keep", { value: shownTyped(typed), unit })}
          </button>
        </>
      }
    >
      <Preview judged={judged} limit={run.view.steps[step.id]?.entries[entry.id]?.limit ?? ""} />
      <Beside run={run} step={step} entry={entry} />
      <LastMade run={run} />
    </Page>
  );
}

/** What it is read with, looked up once the keys are there, and what it was last time. */
function Beside({ run, step, entry }: FormProps) {
  const last = lastTime(run, step.id, entry.id);
  const value = last?.value ? entryText(entry, { value: last.value, unit: last.unit }) : null;
  const [Which, setWhich] = useState<{ readonly With: ComponentType<FormProps> } | null>(null);
  useEffect(() => {
    if (entry.instrument)
      later()
        .then(({ ready }) => ready())
        .then(setWhich, reportError);
  }, []);
  return (
    <>
      {Which && <Which.With run={run} step={step} entry={entry} />}
      {value !== null && <p class="whose">{t("enter-before", { value })}</p>}
    </>
  );
}

/** Only readings that may lie below nought get a sign key. */
const signed = (entry: Entry): boolean => entry.instrument === "thermometer" || entry.unit === "°C";

/** What has been keyed so far, as this region writes it; a number not finished yet stays as it is. */
const shownTyped = (typed: string): string => figure(typed).replace(".", decimalMark);

type TypedProps = { readonly typed: string; readonly unit: string; readonly verdict: Kind | null };

/** None where there is no limit to judge by. */
const verdictOf = (judged: Judged | null): Kind | null =>
  judged?.judgement && (judged.judgement.limit !== "" || judged.judgement.verdict !== "target")
    ? judged.judgement.verdict
    : null;

/** The number as keyed, over the keys, and what it would be judged. */
function Typed({ typed, unit, verdict }: TypedProps) {
  return (
    <div class="typed" data-empty={typed === ""}>
      <p aria-live="polite">
        <span class="typed-number">{typed === "" ? "–" : shownTyped(typed)}</span>
        {unit && <span class="typed-unit"> {unit}</span>}
      </p>
      {verdict && <VerdictWord verdict={verdict} />}
    </div>
  );
}

/** Before a number is keyed: what it should be. Once it is: what to do about it. */
function Preview({ judged, limit }: { readonly judged: Judged | null; readonly limit: string }) {
  if (judged?.judgement) {
    const { verdict, advice, limit: band, source } = judged.judgement;
    return advice ? <Verdict verdict={verdict} advice={advice} /> : <Limit limit={band} source={source} />;
  }
  if (judged?.refused && judged.refused.code !== "not-a-number")
    return <p class="wrong">{judged.refused.text}</p>;
  return <Limit limit={limit} />;
}

function WordsForm(props: FormProps) {
  const { run, step, entry } = props;
  const [typed, setTyped] = useHalfKeyed(run, step, entry);
  const [refused, setRefused] = useState<Refused | null>(null);
  const submit = (event: Event) => {
    event.preventDefault();
    void enter(props, typed, setRefused);
  };
  return (
    <form onSubmit={submit}>
      <Page
        title={entry.label}
        over={step.title}
        back={["run", run.id, "step", step.id]}
        dock={<Submit>{refused && <RefusedWords run={run} refused={refused} />}</Submit>}
      >
        <TextField
          label={t(entry.kind === "lot" ? "enter-lot" : "enter-text")}
          {...(entry.kind === "lot" ? { help: t("enter-lot-help") } : {})}
          value={typed}
          onValue={setTyped}
          lines={entry.kind === "lot" ? 1 : 4}
          mono={entry.kind === "lot"}
          longest={500}
        />
      </Page>
    </form>
  );
}

function Submit({ children }: { readonly children?: ComponentChildren }) {
  return (
    <>
      {children}
      <button type="submit" class="press main">
        {t("enter-keep-words")}
      </button>
    </>
  );
}
