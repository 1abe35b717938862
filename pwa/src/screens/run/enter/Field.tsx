/** One entry of a step: what is asked, what was recorded, what the core makes of it. */
import { useState } from "preact/hooks";
import { t } from "../../../messages";
import { act, type Refused } from "../../../state/act";
import { alarmFor } from "../../../state/alarm";
import { instrumentName, personName } from "../../../state/known";
import { how } from "../../../state/paper";
import { to } from "../../../state/route";
import type { Entry, EntryRecord, FieldView, Verdict as Kind } from "../../../state/view";
import { moment } from "../../../ui/time";
import { Limit, Verdict, VerdictWord } from "../../../ui/Verdict";
import { valueText } from "../../../ui/values";
import { Value } from "../../../ui/Working";
import { RefusedWords } from "../read/RefusedWords";
import type { FieldProps } from "./fieldProps";
import { PhotoField } from "./PhotoField";

export function Field(props: FieldProps) {
  const { run, step, entry, field, view } = props;
  const shut = run.view.status !== "open" || view.waits.some((wait) => wait.code === "step");
  return (
    <section class="field" id={`field-${step.id}-${entry.id}`} data-status={field.status}>
      <h2>
        {entry.label}
        {entry.optional && <span class="optional"> {t("field-optional")}</span>}
      </h2>
      <Body {...props} shut={shut} />
    </section>
  );
}

type BodyProps = FieldProps & { readonly shut: boolean };

function Body(props: BodyProps) {
  const { run, step, entry, field, shut } = props;
  if (field.status === "contested") return <Contested {...props} />;
  if (entry.kind === "choice") return <Choice {...props} />;
  if (entry.kind === "photo") return <PhotoField {...props} />;
  const address = (screen: string) => to("run", run.id, screen, step.id, entry.id);
  if (field.status === "empty")
    return (
      <>
        <Limit limit={field.limit} source={field.source} />
        <Struck field={field} entry={entry} />
        {!shut && (
          <div class="field-presses">
            <a class="press" href={address(entry.works ? "work" : "enter")}>
              {t(entry.works ? "field-work" : "field-enter")}
            </a>
          </div>
        )}
      </>
    );
  return (
    <>
      {entry.series ? <Series entry={entry} field={field} /> : <Live entry={entry} field={field} />}
      <Struck field={field} entry={entry} />
      {!shut && (
        <div class="field-presses">
          {entry.works ? (
            <a class="press" href={address("work")}>
              {t("field-work")}
            </a>
          ) : (
            <a class="press" href={address("enter")}>
              {t(entry.series ? "field-another" : "field-again")}
            </a>
          )}
          <a class="press" href={to("run", run.id, "strike", field.events.at(-1) ?? "")}>
            {t("strike")}
          </a>
        </div>
      )}
    </>
  );
}

/** What stands here, whether or not it counts. */
const stands = (row: EntryRecord): boolean => row.state === "live" || row.state === "void";

function Live({ entry, field }: { readonly entry: Entry; readonly field: FieldView }) {
  const record = field.all.findLast(stands);
  return (
    <>
      <p class="number">
        <Value value={valueText(entry, field.value ?? "")} unit={field.unit} />
      </p>
      {record && <Whose record={record} />}
      {field.void && <p class="wrong">{field.void}</p>}
      {field.verdict && judged(field) && (
        <Verdict verdict={field.verdict} advice={field.advice} limit={field.limit} source={field.source} />
      )}
    </>
  );
}

/** An entry that has no limit is never judged, so it shows no verdict. */
const judged = (field: Pick<EntryRecord, "limit"> & { readonly verdict: Kind | null }): boolean =>
  field.limit !== "" || field.verdict !== "target";

function Whose({ record }: { readonly record: EntryRecord }) {
  return (
    <p class="whose">
      {t("record-by", { person: personName(record.person), time: moment(record.time) })}
      {record.how !== "keyed" && ` · ${t(`how-${record.how}`)}`}
    </p>
  );
}

/** Readings repeated through a step: all count, the newest first. */
function Series({ entry, field }: { readonly entry: Entry; readonly field: FieldView }) {
  const live = field.all.filter(stands).reverse();
  const [newest] = live;
  return (
    <>
      {field.void && <p class="wrong">{field.void}</p>}
      {newest && (
        <>
          <p class="number">
            <Value value={valueText(entry, newest.value)} unit={newest.unit} />
          </p>
          {judged(newest) && (
            <Verdict
              verdict={newest.verdict}
              advice={newest.advice}
              limit={newest.limit}
              source={newest.source}
            />
          )}
        </>
      )}
      <table class="series">
        <caption class="unseen">{entry.label}</caption>
        <tbody>
          {live.map((row) => (
            <tr key={row.event}>
              <td>
                {moment(row.time)}
                {entry.verifies && ` · ${instrumentName(row.instrument)}`}
              </td>
              <td>
                <Value value={valueText(entry, row.value)} unit={row.unit} />
              </td>
              <td>{judged(row) && <VerdictWord verdict={row.verdict} />}</td>
            </tr>
          ))}
        </tbody>
      </table>
    </>
  );
}

/** What was struck stays legible, with a line through it. */
function Struck({ field, entry }: { readonly field: FieldView; readonly entry: Entry }) {
  const struck = field.all.filter((row) => row.state === "struck");
  if (struck.length === 0) return null;
  return (
    <ul class="struck">
      {struck.map((row) => (
        <li key={row.event}>
          <s>
            <Value value={valueText(entry, row.value)} unit={row.unit} />
          </s>{" "}
          {t("field-struck")}
        </li>
      ))}
    </ul>
  );
}

function Choice({ run, step, entry, field, shut }: BodyProps) {
  const [refused, setRefused] = useState<Refused | null>(null);
  const pick = async (typed: string) => {
    if (typed === field.value) return;
    const answer = await act("enter", { step: step.id, field: entry.id, typed, how: how() });
    setRefused(answer.ok ? null : answer);
    if (answer.ok) alarmFor(answer.judgement?.raises ?? []);
  };
  return (
    <>
      <fieldset class="options" aria-label={entry.label}>
        {entry.options?.map((option) => (
          <button
            type="button"
            key={option.id}
            class="option"
            aria-pressed={field.value === option.id}
            aria-disabled={shut}
            onClick={() => !shut && void pick(option.id)}
          >
            <span class="option-mark" aria-hidden="true" />
            {option.label}
          </button>
        ))}
      </fieldset>
      {refused && <RefusedWords run={run} refused={refused} />}
      {field.verdict && <Verdict verdict={field.verdict} advice={field.advice} />}
      <Struck field={field} entry={entry} />
    </>
  );
}

/** Two people recorded different things and neither saw the other's: both are shown until one is chosen. */
function Contested({ run, step, entry, field }: BodyProps) {
  return (
    <div class="contested">
      <p class="banner">{t("contested")}</p>
      <ul>
        {field.all
          .filter((row) => row.state === "contested")
          .map((row) => (
            <li key={row.event}>
              <Value value={valueText(entry, row.value)} unit={row.unit} />
              <Whose record={row} />
            </li>
          ))}
      </ul>
      {run.view.status === "open" && (
        <a class="press main" href={to("run", run.id, "settle", step.id, entry.id)}>
          {t("settle")}
        </a>
      )}
    </div>
  );
}
