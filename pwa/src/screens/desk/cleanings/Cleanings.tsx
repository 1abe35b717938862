/** The cleaning register: one row a clean, with strength, temperature, contact and rinse; by vessel and span, and as CSV. */
import { useState } from "preact/hooks";
import { t } from "../../../messages";
import { everyVessel, offered, personName, vesselName } from "../../../state/known";
import { to } from "../../../state/route";
import { figure } from "../../../ui/figures";
import { Select } from "../../../ui/Select";
import { TextField } from "../../../ui/TextField";
import { fullDay, timeOf } from "../../../ui/time";
import { said, useAsked } from "../asked";
import { DeskPage } from "../DeskPage";
import { Heads } from "../Heads";
import { madeOn } from "../madeon";
import { type Choice, type Clean, type Cleans, cleanings, tableOf } from "./listed";

const ALL: Choice = { vessel: "", procedure: "", from: "", to: "" };

export function Cleanings() {
  const [choice, setChoice] = useState(ALL);
  const key = JSON.stringify(choice);
  const { answer, wrong, again, behind } = useAsked(() => cleanings(choice), key);
  const [older, setOlder] = useState<{ readonly key: string; readonly page: Cleans } | null>(null);
  const [failed, setFailed] = useState("");
  const beyond = older?.key === key ? older.page : null;
  const next = beyond ? beyond.next : (answer?.next ?? null);
  const rows = [...(answer?.cleanings ?? []), ...(beyond?.cleanings ?? [])];

  const more = async (after: string) => {
    try {
      const page = await cleanings(choice, after);
      setOlder({ key, page: { ...page, cleanings: [...(beyond?.cleanings ?? []), ...page.cleanings] } });
      setFailed("");
    } catch (error) {
      setFailed(said(error));
    }
  };

  return (
    <DeskPage title={t("desk-cleanings")} wrong={wrong} again={again} behind={behind}>
      <Filters choice={choice} change={(part) => setChoice({ ...choice, ...part })} />
      {answer && rows.length === 0 && <p>{t("cleanings-none")}</p>}
      {rows.length > 0 && (
        <p>
          <a href={tableOf(choice)} download="cleaning-register.csv">
            {t("cleanings-csv")}
          </a>
        </p>
      )}
      {rows.length > 0 && <Table rows={rows} />}
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
    <search class="filters" aria-label={t("cleanings-filters")}>
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
        options={offered()
          .filter((row) => row.kind === "cleaning")
          .map((row) => ({ id: row.id, name: row.title }))}
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

/** A wide table on a narrow screen is moved sideways within itself, by keys too. */
function Table({ rows }: { readonly rows: readonly Clean[] }) {
  return (
    // biome-ignore lint/a11y/noNoninteractiveTabindex: what scrolls must be reached by the keyboard
    <section class="wide-table" aria-label={t("cleanings-table")} tabIndex={0}>
      <table class="register">
        <Heads
          of={[
            t("column-when"),
            t("filter-vessel"),
            t("filter-procedure"),
            t("filter-person"),
            t("cleaning-strength"),
            t("cleaning-coldest"),
            t("cleaning-minutes"),
            t("cleaning-rinse"),
            t("filter-found"),
            t("filter-review"),
          ]}
        />
        <tbody>
          {rows.map((row) => (
            <Row key={row.run} row={row} />
          ))}
        </tbody>
      </table>
    </section>
  );
}

function Row({ row }: { readonly row: Clean }) {
  return (
    <tr>
      <td>
        <a href={to("record", "run", row.run)}>{fullDay(row.time)}</a>
        <span class="whose"> {timeOf(row.time)}</span>
      </td>
      <td>{row.vessel ? vesselName(row.vessel) : "–"}</td>
      <td>
        {row.title}
        {row.status !== "finished" && <span class="tag"> {t(`run-status-${row.status}`)}</span>}
      </td>
      <td>
        {personName(row.person)}
        <span class="whose"> {madeOn(`/devices/${row.device}`)}</span>
      </td>
      <td>{strength(row)}</td>
      <td>{shown(row.coldest)}</td>
      <td>{minutes(row)}</td>
      <td>{row.rinse.length === 0 ? "–" : row.rinse.map(shown).join(" · ")}</td>
      <td>{row.found.length === 0 ? t("found-none-short") : row.found.join(". ")}</td>
      <td>{review(row)}</td>
    </tr>
  );
}

const shown = (read: Clean["coldest"]): string => (read ? `${figure(read.value)} ${read.unit}` : "–");

function strength({ strength_start: start, strength_end: end }: Clean): string {
  if (!start || !end) return shown(start ?? end);
  return t("cleaning-from-to", { start: figure(start.value), end: shown(end) });
}

function minutes(row: Clean): string {
  if (row.minutes !== null) return t("cleaning-minutes-band", { minutes: figure(row.minutes) });
  return row.held === null ? "–" : t("cleaning-minutes-held", { minutes: row.held });
}

function review(row: Clean): string {
  if (!row.review) return t("review-waiting");
  const verdict = t(`review-${row.review.verdict}`);
  return row.reviewed ? verdict : t("cleaning-review-lapsed", { verdict });
}
