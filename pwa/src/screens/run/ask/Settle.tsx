/** Two readings of one thing disagree: a person says which counts, and why. Both stay in the record. */
import { useState } from "preact/hooks";
import { t } from "../../../messages";
import { act, type Refused } from "../../../state/act";
import { personName, stepOf } from "../../../state/known";
import { leaveFromHere } from "../../../state/route";
import type { Session } from "../../../state/run";
import { Page } from "../../../ui/Page";
import { moment } from "../../../ui/time";
import { entryText } from "../../../ui/values";
import { RefusedWords } from "../read/RefusedWords";
import { Reasons } from "./Reasons";

type Props = { readonly run: Session; readonly step: string; readonly field: string };

export function Settle({ run, step, field }: Props) {
  const [chosen, setChosen] = useState<string | null>(null);
  const [refused, setRefused] = useState<Refused | null>(null);
  const entry = stepOf(run.procedure, step)?.entries?.find((row) => row.id === field);
  const view = run.view.steps[step]?.entries[field];
  const home = ["run", run.id, "step", step] as const;
  if (!entry || !view) return <Page title={t("not-found")} back={home} />;
  const settle = async (reason: string) => {
    const done = leaveFromHere();
    const answer = await act("settle", { step, field, chosen, reason });
    if (answer.ok) done(...home);
    else setRefused(answer);
  };
  return (
    <Page title={t("settle-title")} over={entry.label} back={home}>
      {refused && <RefusedWords run={run} refused={refused} />}
      <p>{t("settle-lead")}</p>
      <fieldset class="options" aria-label={entry.label}>
        {view.all
          .filter((row) => row.state === "contested")
          .map((row) => (
            <button
              type="button"
              key={row.event}
              class="option tall"
              aria-pressed={chosen === row.event}
              onClick={() => setChosen(row.event)}
            >
              <span class="option-mark" aria-hidden="true" />
              <span>
                <span class="option-value">{entryText(entry, row)}</span>
                <span class="whose">
                  {t("record-by", { person: personName(row.person), time: moment(row.time) })}
                </span>
              </span>
            </button>
          ))}
      </fieldset>
      {chosen && <Reasons name="settle" count={3} onReason={(reason) => void settle(reason)} />}
    </Page>
  );
}
