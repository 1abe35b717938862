/** The register: every run the office knows, cleaning first, with what calls for a look. */
import { useState } from "preact/hooks";
import { runs as fetchRuns, type RunFilters, type RunPage, type RunSummary } from "../../api";
import { people } from "../../identity";
import { t } from "../../messages";
import { PROCEDURE_KIND, RUN_STATUS } from "../../shapes";
import { offered, personName, vesselCards, vesselName } from "../../state/known";
import { to } from "../../state/route";
import { Select } from "../../ui/Select";
import { TextField } from "../../ui/TextField";
import { moment } from "../../ui/time";
import { useAsked } from "./asked";
import { DeskPage } from "./DeskPage";
import { Heads } from "./Heads";
import { COUNTED, found } from "./register/found";
import { reviewWords } from "./reviewed";

const PAGE = 50;

export type Choice = {
  readonly kind: string;
  readonly vessel: string;
  readonly procedure: string;
  readonly status: string;
  readonly person: string;
  readonly from: string;
  readonly to: string;
  readonly found: string;
  readonly review: string;
};

const ALL: Choice = {
  kind: "cleaning",
  vessel: "",
  procedure: "",
  status: "finished",
  person: "",
  from: "",
  to: "",
  found: "",
  review: "",
};

/** What the office is asked: all of the filtering is its own. */
function filtersOf(choice: Choice): RunFilters {
  const filters: Record<string, string> = {};
  for (const name of ["kind", "vessel", "procedure", "status", "person", "found", "review"] as const)
    if (choice[name]) filters[name] = choice[name];
  if (choice.from) filters.from = dayStart(choice.from, 0);
  if (choice.to) filters.to = dayStart(choice.to, 1);
  return { ...filters, limit: PAGE };
}

/** Midnight here at the start of a day, or of the day after it. */
function dayStart(day: string, later: number): string {
  const at = new Date(`${day}T00:00:00`);
  at.setDate(at.getDate() + later);
  return at.toISOString();
}

/** As many of the office's pages as hold `enough` rows, and whether there are more. */
async function gather(choice: Choice, enough: number): Promise<{ rows: RunSummary[]; more: boolean }> {
  const rows: RunSummary[] = [];
  let after: string | null = null;
  do {
    const answer: RunPage = await fetchRuns({ ...filtersOf(choice), ...(after === null ? {} : { after }) });
    rows.push(...answer.runs);
    after = answer.next;
  } while (after !== null && rows.length < enough);
  return { rows, more: after !== null };
}

export function Register() {
  const [choice, setChoice] = useState(ALL);
  const [enough, setEnough] = useState(PAGE);
  const { answer, wrong, again } = useAsked(
    () => gather(choice, enough),
    `${JSON.stringify(choice)} ${enough}`,
  );
  const rows = answer?.rows ?? [];
  return (
    <DeskPage title={t("desk-register")} wrong={wrong} again={again}>
      <Filters choice={choice} change={(part) => setChoice({ ...choice, ...part })} />
      <p role="status" class="whose">
        {answer && t("register-count", { count: rows.length })}
      </p>
      {answer && rows.length === 0 && <p>{t("register-none")}</p>}
      {rows.length > 0 && <Table rows={rows} />}
      {answer?.more && (
        <button type="button" class="press small" onClick={() => setEnough(enough + PAGE)}>
          {t("register-more")}
        </button>
      )}
    </DeskPage>
  );
}

type FiltersProps = { readonly choice: Choice; readonly change: (part: Partial<Choice>) => void };

function Filters({ choice, change }: FiltersProps) {
  const pick = (name: keyof Choice) => (value: string) => change({ [name]: value });
  const named = (ids: readonly string[], prefix: string) =>
    ids.map((id) => ({ id, name: t(`${prefix}-${id}`) }));
  return (
    <search class="filters" aria-label={t("register-filters")}>
      <Select
        none={t("filter-all")}
        label={t("filter-kind")}
        value={choice.kind}
        onValue={pick("kind")}
        options={named(PROCEDURE_KIND, "kind")}
      />
      <Select
        none={t("filter-all")}
        label={t("filter-vessel")}
        value={choice.vessel}
        onValue={pick("vessel")}
        options={vesselCards()}
      />
      <Select
        none={t("filter-all")}
        label={t("filter-procedure")}
        value={choice.procedure}
        onValue={pick("procedure")}
        options={offered()
          .filter((row) => !choice.kind || row.kind === choice.kind)
          .map((row) => ({ id: row.id, name: row.title }))}
      />
      <Select
        none={t("filter-all")}
        label={t("filter-status")}
        value={choice.status}
        onValue={pick("status")}
        options={named(RUN_STATUS, "run-status")}
      />
      <Select
        none={t("filter-all")}
        label={t("filter-person")}
        value={choice.person}
        onValue={pick("person")}
        options={people()}
      />
      <TextField label={t("filter-from")} type="date" value={choice.from} onValue={pick("from")} />
      <TextField label={t("filter-to")} type="date" value={choice.to} onValue={pick("to")} />
      <Select
        none={t("filter-all")}
        label={t("filter-found")}
        value={choice.found}
        onValue={pick("found")}
        options={named(["some", "none", ...COUNTED], "found")}
      />
      <Select
        none={t("filter-all")}
        label={t("filter-review")}
        value={choice.review}
        onValue={pick("review")}
        options={named(["waiting", "accepted", "rejected", "lapsed"], "filter-review")}
      />
    </search>
  );
}

function Table({ rows }: { readonly rows: readonly RunSummary[] }) {
  return (
    <table class="register">
      <Heads
        of={[
          t("column-when"),
          t("filter-vessel"),
          t("filter-procedure"),
          t("filter-person"),
          t("filter-found"),
          t("filter-review"),
        ]}
      />
      <tbody>
        {rows.map((line) => (
          <Row key={line.id} line={line} />
        ))}
      </tbody>
    </table>
  );
}

function Row({ line }: { readonly line: RunSummary }) {
  const end = line.finished ?? line.opened;
  return (
    <tr>
      <td>
        <a href={to("record", "run", line.id)}>{end ? moment(end.time) : line.id}</a>
      </td>
      <td>{line.vessel ? vesselName(line.vessel) : "–"}</td>
      <td>
        {line.title}
        {line.status !== "finished" && <span class="tag"> {t(`run-status-${line.status}`)}</span>}
      </td>
      <td>{end && personName(end.person)}</td>
      <td>{found(line)}</td>
      <td>{line.status === "open" && !line.review ? "–" : reviewWords(line.review)}</td>
    </tr>
  );
}
