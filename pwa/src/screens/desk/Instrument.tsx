/** One instrument: how it stands, what it put in doubt, and for a manager what is written of it. */
import { useState } from "preact/hooks";
import { current } from "../../identity";
import { known, t } from "../../messages";
import { vesselName } from "../../state/known";
import { instrumentFaults } from "../../state/readwith";
import { replace, to } from "../../state/route";
import { reference, syncNow } from "../../sync";
import { Select } from "../../ui/Select";
import { TextField } from "../../ui/TextField";
import { moment } from "../../ui/time";
import { said, useAsked } from "./asked";
import { DeskPage } from "./DeskPage";
import { InstrumentStanding } from "./Instruments";
import { type Doubted, type Draft, instruments, keepInstrument, type Listed, sent } from "./listed";
import { shortName } from "./shortname";

const DAYS = "7";

export function Instrument({ id }: { readonly id: string }) {
  const { answer, wrong, again } = useAsked(instruments, id);
  const held = answer?.instruments.find((row) => row.id === id);
  const title = held?.name ?? t(id === "" ? "instrument-new" : "not-found");
  if (!answer || (id !== "" && !held))
    return <DeskPage title={answer ? title : t("desk-instruments")} wrong={wrong} again={again} />;
  return (
    <DeskPage
      title={title}
      {...(held ? { over: known(`instrument-${held.kind}`, held.kind) } : {})}
      wrong={wrong}
      again={again}
    >
      {held && <Stands row={held} />}
      {held && <Doubts rows={held.doubt} />}
      {current.value?.role === "manager" && (
        <Form key={id} held={held ?? null} kinds={answer.kinds} kept={again} />
      )}
    </DeskPage>
  );
}

function Stands({ row }: { readonly row: Listed }) {
  return (
    <dl class="record-facts">
      <div>
        <dt>{t("fact-status")}</dt>
        <dd>
          <InstrumentStanding row={row} />
        </dd>
      </div>
      <div>
        <dt>{t("instrument-last-good")}</dt>
        <dd>{row.last_good ? moment(row.last_good) : "–"}</dd>
      </div>
      <div>
        <dt>{t("instrument-due")}</dt>
        <dd>{row.due ? moment(row.due) : "–"}</dd>
      </div>
    </dl>
  );
}

function Doubts({ rows }: { readonly rows: readonly Doubted[] }) {
  if (rows.length === 0) return null;
  return (
    <section>
      <h2>{t("instrument-doubts")}</h2>
      <ul class="need-list">
        {rows.map((row) => (
          <li key={row.run}>
            <a class="need" href={to("record", "run", row.run)}>
              <strong>{row.vessel ? vesselName(row.vessel) : row.title}</strong>
              {row.vessel && <span>{row.title}</span>}
              <span>{row.texts.join(" · ")}</span>
              <span class="whose">
                {moment(row.opened)} · {t(row.answered ? "instrument-answered" : "story-unanswered")}
              </span>
            </a>
          </li>
        ))}
      </ul>
    </section>
  );
}

type FormProps = {
  readonly held: Listed | null;
  readonly kinds: readonly string[];
  readonly kept: () => void;
};
type Faults = Readonly<Record<string, string>>;

function Form({ held, kinds, kept }: FormProps) {
  const [draft, setDraft] = useState<Draft>(draftOf(held, kinds));
  const [faults, setFaults] = useState<Faults>({});
  const [wrong, setWrong] = useState("");
  const change = (part: Partial<Draft>) => {
    setDraft({ ...draft, ...part });
    setFaults({});
    setWrong("");
  };
  const keep = async (event: Event) => {
    event.preventDefault();
    const named = { ...draft, id: held?.id ?? shortName(draft.name) };
    const found = await faultsOf(named, held === null);
    setFaults(found);
    if (Object.keys(found).length > 0) return;
    try {
      await keepInstrument(named);
      await syncNow();
      if (held) kept();
      else replace("record", "instruments");
    } catch (error) {
      setWrong(said(error));
    }
  };
  const fault = (field: string) => (faults[field] ? { fault: faults[field] } : {});
  return (
    <form class="recipe one-column" onSubmit={(event) => void keep(event)} noValidate>
      <h2>{t(held ? "instrument-written" : "instrument-which")}</h2>
      <TextField
        label={t("instrument-name")}
        value={draft.name}
        onValue={(name) => change({ name })}
        longest={60}
        {...fault("name")}
      />
      {!held && (
        <Select
          label={t("instrument-kind")}
          value={draft.kind}
          onValue={(kind) => change({ kind })}
          options={kinds.map((kind) => ({ id: kind, name: known(`instrument-${kind}`, kind) }))}
        />
      )}
      <Select
        label={t("instrument-place")}
        none={t("instrument-no-place")}
        value={draft.place}
        onValue={(place) => change({ place })}
        options={placesOf(held).map((place) => ({ id: place, name: place }))}
      />
      <TextField
        label={t("instrument-days")}
        value={draft.check_days}
        onValue={(days) => change({ check_days: days })}
        numeric
        {...fault("check_days")}
      />
      {held && (
        <Select
          label={t("instrument-use")}
          value={draft.in_use ? "in" : "out"}
          onValue={(use) => change({ in_use: use === "in" })}
          options={[
            { id: "in", name: t("instrument-in-use") },
            { id: "out", name: t("instrument-out-of-use") },
          ]}
        />
      )}
      {wrong && (
        <p class="refused" role="alert">
          {wrong}
        </p>
      )}
      <button type="submit" class="press main">
        {t("figure-keep")}
      </button>
    </form>
  );
}

function draftOf(held: Listed | null, kinds: readonly string[]): Draft {
  if (held) return { ...held, check_days: String(held.check_days) };
  return { id: "", name: "", kind: kinds[0] ?? "", place: "", check_days: DAYS, in_use: true };
}

/** The places of the plant, and the one that is written already. */
function placesOf(held: Listed | null): readonly string[] {
  const places = (reference.value?.vessels ?? []).map((vessel) => String(vessel.place ?? ""));
  return [...new Set([...places, held?.place ?? ""])].filter((place) => place !== "");
}

/** What the core finds wrong, field by field; a new one must have a name of its own. */
async function faultsOf(draft: Draft, fresh: boolean): Promise<Faults> {
  const rows = await instrumentFaults(sent(draft));
  const found = Object.fromEntries(rows.map((row) => [row.field === "id" ? "name" : row.field, row.text]));
  const listed = (reference.peek()?.instruments ?? []).some((row) => row.id === draft.id);
  return fresh && listed ? { name: t("instrument-name-taken") } : found;
}
