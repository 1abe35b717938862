/** All deviations of the brewery, those that wait first; each is answered where it stands, and stays in the list. */
import { useState } from "preact/hooks";
import { t } from "../../../messages";
import { everyVessel, offered } from "../../../state/known";
import { Select } from "../../../ui/Select";
import { TextField } from "../../../ui/TextField";
import { said, useAsked } from "../asked";
import { DeskPage } from "../DeskPage";
import { Card } from "./Card";
import { type Choice, deviations, keyOf, type Deviations as Page, STATES } from "./listed";

export const ALL: Choice = { state: "", vessel: "", procedure: "", from: "", to: "" };

/** `vessel`: of which alone, to begin with. */
export function Deviations({ vessel = "" }: { readonly vessel?: string }) {
  const [choice, setChoice] = useState({ ...ALL, vessel });
  const key = JSON.stringify(choice);
  const { answer, wrong, again, behind } = useAsked(() => deviations(choice), key);
  const [older, setOlder] = useState<{ readonly key: string; readonly page: Page } | null>(null);
  const [failed, setFailed] = useState("");
  const beyond = older?.key === key ? older.page : null;
  const next = beyond ? beyond.next : (answer?.next ?? null);
  const rows = [...(answer?.deviations ?? []), ...(beyond?.deviations ?? [])];

  const more = async (after: string) => {
    try {
      const page = await deviations(choice, after);
      setOlder({ key, page: { ...page, deviations: [...(beyond?.deviations ?? []), ...page.deviations] } });
      setFailed("");
    } catch (error) {
      setFailed(said(error));
    }
  };
  const changed = () => {
    setOlder(null);
    again();
  };

  return (
    <DeskPage title={t("desk-deviations")} wrong={wrong} again={again} behind={behind}>
      <Filters choice={choice} change={(part) => setChoice({ ...choice, ...part })} />
      <p role="status" class="whose">
        {answer && t("deviations-count", answer.counts)}
      </p>
      {answer && rows.length === 0 && <p>{t("deviations-none")}</p>}
      <ul class="deviation-list">
        {rows.map((row) => (
          <li key={keyOf(row)}>
            <Card row={row} changed={changed} />
          </li>
        ))}
      </ul>
      {failed && (
        <p class="wrong" role="alert">
          {failed}
        </p>
      )}
      {next && (
        <button type="button" class="press small" onClick={() => void more(next)}>
          {t("register-more")}
        </button>
      )}
    </DeskPage>
  );
}

type FiltersProps = { readonly choice: Choice; readonly change: (part: Partial<Choice>) => void };

function Filters({ choice, change }: FiltersProps) {
  return (
    <search class="filters" aria-label={t("deviations-filters")}>
      <Select
        none={t("filter-all")}
        label={t("deviation-state")}
        value={choice.state}
        onValue={(state) => change({ state })}
        options={STATES.map((id) => ({ id, name: t(`deviation-state-${id}`) }))}
      />
      <Select
        none={t("filter-all")}
        label={t("filter-vessel")}
        value={choice.vessel}
        onValue={(vessel) => change({ vessel })}
        options={everyVessel()}
      />
      <Select
        none={t("filter-all")}
        label={t("filter-procedure")}
        value={choice.procedure}
        onValue={(procedure) => change({ procedure })}
        options={offered().map((row) => ({ id: row.id, name: row.title }))}
      />
      <TextField
        label={t("filter-from")}
        type="date"
        value={choice.from}
        onValue={(from) => change({ from })}
      />
      <TextField label={t("filter-to")} type="date" value={choice.to} onValue={(to) => change({ to })} />
    </search>
  );
}
