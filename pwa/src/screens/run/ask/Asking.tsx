/** The small screens that ask for words before a record is made. */
import { useState } from "preact/hooks";
import { t } from "../../../messages";
import type { Action } from "../../../state/act";
import { troublesOf } from "../../../state/board";
import { personName } from "../../../state/known";
import type { Session } from "../../../state/run";
import type { JsonObject } from "../../../state/view";
import { Page } from "../../../ui/Page";
import { TextField } from "../../../ui/TextField";
import { moment } from "../../../ui/time";
import { RefusedWords } from "../read/RefusedWords";
import { recordOf } from "../read/records";
import { Reasons } from "./Reasons";
import { type Asked, homeOf, stepTitle, useAct } from "./useAct";

type WordsProps = Asked & {
  /** `note`, `deviate` or `answer`: the messages are `<name>-title`, `-lead`, `-label` and `-do`. */
  readonly name: string;
  readonly over?: string | undefined;
  readonly lead?: string;
  readonly made: (text: string) => [Action, JsonObject];
};

function WordsPage({ run, step, name, over, lead, made }: WordsProps) {
  const [text, setText] = useState("");
  const home = homeOf(run, step);
  const [refused, attempt] = useAct(home);
  const submit = (event: Event) => {
    event.preventDefault();
    void attempt(...made(text));
  };
  return (
    <form onSubmit={submit}>
      <Page
        title={t(`${name}-title`)}
        back={home}
        {...(over ? { over } : {})}
        dock={
          <>
            {refused && <RefusedWords run={run} refused={refused} />}
            <button type="submit" class="press main">
              {t(`${name}-do`)}
            </button>
          </>
        }
      >
        <p>{lead ?? t(`${name}-lead`)}</p>
        <TextField label={t(`${name}-label`)} value={text} onValue={setText} lines={4} longest={4000} />
      </Page>
    </form>
  );
}

const of = (step: string | null): JsonObject => (step ? { step } : {});

export function Note({ run, step }: Asked) {
  return (
    <WordsPage
      run={run}
      step={step}
      name="note"
      over={stepTitle(run, step)}
      made={(text) => ["note", { ...of(step), text }]}
    />
  );
}

export function Deviate({ run, step, field }: Asked & { readonly field: string | null }) {
  return (
    <WordsPage
      run={run}
      step={step}
      name="deviate"
      over={stepTitle(run, step)}
      made={(text) => ["deviate", { ...of(step), ...(field ? { field } : {}), text }]}
    />
  );
}

export function Answer({ run, deviation }: { readonly run: Session; readonly deviation: string }) {
  const row =
    run.view.deviations.find((raised) => raised.event === deviation) ??
    troublesOf(run.id).find((told) => told.event === deviation);
  return (
    <WordsPage
      run={run}
      step={null}
      name="answer"
      over={stepTitle(run, row?.step ?? null)}
      {...(row ? { lead: t("answer-what", { text: row.text, person: personName(row.person) }) } : {})}
      made={(text) => ["answer", { deviation, text }]}
    />
  );
}

export function Skip({ run, step }: { readonly run: Session; readonly step: string }) {
  const [refused, attempt] = useAct(homeOf(run, step));
  return (
    <Page title={t("skip-title")} over={stepTitle(run, step)} back={homeOf(run, step)}>
      {refused && <RefusedWords run={run} refused={refused} />}
      <p>{t("skip-lead")}</p>
      <Reasons name="skip" count={2} onReason={(reason) => void attempt("skip", { step, reason })} />
    </Page>
  );
}

/** One line through it, and why. The original stays legible. */
export function Strike({ run, event }: { readonly run: Session; readonly event: string }) {
  const record = recordOf(run, event);
  const home = homeOf(run, record?.step ?? null);
  const [refused, attempt] = useAct(home);
  if (!record) return <Page title={t("not-found")} back={home} />;
  return (
    <Page title={t("strike-title")} over={stepTitle(run, record.step)} back={home}>
      <p class="to-strike">
        <strong>{record.what}</strong>
        <span class="whose">
          {t("record-by", { person: personName(record.person), time: moment(record.time) })}
        </span>
      </p>
      {refused && <RefusedWords run={run} refused={refused} />}
      <Reasons
        name="strike"
        count={4}
        onReason={(reason) => void attempt("strike", { target: event, reason })}
      />
    </Page>
  );
}
