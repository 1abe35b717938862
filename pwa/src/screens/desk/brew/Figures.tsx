/** Every figure, limit and statement the site gives for itself, by what it bears on: as it stands, and who signed it. */
import { useState } from "preact/hooks";
import { t } from "../../../messages";
import { procedure } from "../../../state/known";
import { to } from "../../../state/route";
import { syncNow } from "../../../sync";
import { figure } from "../../../ui/figures";
import { HoldButton } from "../../../ui/HoldButton";
import { Select } from "../../../ui/Select";
import { TextField } from "../../../ui/TextField";
import { moment } from "../../../ui/time";
import { said, useAsked } from "../asked";
import { DeskPage } from "../DeskPage";
import { figures, giveFigure, type OwnFigure } from "./answers";

/** What kills soonest stands first; what bears on no person stands last. */
const HAZARDS = ["gas", "chemical", "pressure", "heat", "entry", "machine", "body", "beer"];
const placeOf = ({ hazards }: OwnFigure): string =>
  HAZARDS.find((one) => (hazards as readonly string[]).includes(one)) ?? "beer";
const YES_NO: readonly string[] = ["no", "yes"];
const isUnsigned = (row: OwnFigure): boolean => row.own && row.signed === null;

export function Figures({ of }: { readonly of: string | undefined }) {
  const { answer, wrong, again } = useAsked(figures, "figures");
  const [all, setAll] = useState(false);
  const rows = (answer?.figures ?? []).filter((row) => of === undefined || row.procedures.includes(of));
  const unsigned = rows.filter(isUnsigned);
  const shown = all ? rows : rows.filter((row) => isUnsigned(row) || row.far || row.fault !== null);
  const kept = async () => {
    await syncNow(); // what rests on it here is worked anew
    again();
  };
  return (
    <DeskPage
      title={t("desk-figures")}
      over={of === undefined ? undefined : procedure(of)?.title}
      wrong={wrong}
      again={again}
    >
      <p>{t("figures-lead")}</p>
      {answer && (
        <>
          <p>{t("figures-count", { unsigned: unsigned.length, all: rows.length })}</p>
          <Select
            label={t("figures-which")}
            value={all ? "all" : "unsigned"}
            onValue={(which) => setAll(which === "all")}
            options={[
              { id: "unsigned", name: t("figures-unsigned") },
              { id: "all", name: t("figures-all") },
            ]}
          />
          {of === undefined ? (
            <ByProcedure rows={rows} />
          ) : (
            <>
              <a href={to("record", "figures")}>{t("figures-of-all")}</a>
              {unsigned.length > 0 && <SignAll rows={unsigned} kept={kept} />}
            </>
          )}
          {HAZARDS.map((hazard) => (
            <Group
              key={hazard}
              title={t(`figures-${hazard}`)}
              rows={shown.filter((row) => placeOf(row) === hazard)}
              kept={kept}
            />
          ))}
        </>
      )}
    </DeskPage>
  );
}

/** The procedures whose figures nobody has signed yet, to go through one at a time. */
function ByProcedure({ rows }: { readonly rows: readonly OwnFigure[] }) {
  const left = new Map<string, number>();
  for (const row of rows.filter(isUnsigned))
    for (const name of row.procedures) left.set(name, (left.get(name) ?? 0) + 1);
  if (left.size === 0) return null;
  return (
    <details class="figures-by">
      <summary>{t("figures-by")}</summary>
      <ul class="need-list">
        {[...left].map(([name, count]) => (
          <li key={name}>
            <a class="need" href={to("record", "figures", name)}>
              <strong>{procedure(name)?.title ?? name}</strong>
              <span class="whose">{t("figures-left", { count })}</span>
            </a>
          </li>
        ))}
      </ul>
    </details>
  );
}

type GroupProps = {
  readonly title: string;
  readonly rows: readonly OwnFigure[];
  readonly kept: () => Promise<void>;
};

function Group({ title, rows, kept }: GroupProps) {
  if (rows.length === 0) return null;
  return (
    <section>
      <h2>{title}</h2>
      <ul class="site-figures">
        {rows.map((row) => (
          <li key={row.id}>
            <One key={row.value} row={row} kept={kept} />
          </li>
        ))}
      </ul>
    </section>
  );
}

function SignAll({ rows, kept }: Omit<GroupProps, "title">) {
  const [wrong, setWrong] = useState<string | null>(null);
  const [busy, setBusy] = useState(false);
  const sign = async () => {
    setBusy(true);
    try {
      for (const row of rows) await giveFigure(row.id, row.value);
    } catch (error) {
      setWrong(said(error));
    } finally {
      setBusy(false);
      await kept();
    }
  };
  return (
    <>
      <p>{t("figures-sign-lead")}</p>
      {wrong && (
        <p class="wrong" role="alert">
          {wrong}
        </p>
      )}
      <HoldButton
        label={t("figures-sign", { count: rows.length })}
        busy={busy}
        onHeld={() => void sign().catch(reportError)}
      />
    </>
  );
}

function One({ row, kept }: { readonly row: OwnFigure; readonly kept: () => Promise<void> }) {
  const [value, setValue] = useState(row.value);
  const [wrong, setWrong] = useState(row.fault);
  const give = async (next: string) => {
    try {
      await giveFigure(row.id, next);
      await kept();
    } catch (error) {
      setWrong(said(error));
    }
  };
  const { signed } = row;
  const before = signed?.before ?? null;
  return (
    <form
      class="site-figure"
      onSubmit={(event) => {
        event.preventDefault();
        void give(value);
      }}
      noValidate
    >
      <Value row={row} value={value} onValue={setValue} fault={wrong} />
      {row.far && <p class="wrong">{t("figure-far", { value: figure(row.usual) })}</p>}
      <p class="whose">
        {signed
          ? t("figure-signed", { person: signed.by?.name ?? t("figure-office"), time: moment(signed.time) })
          : t("figure-unsigned")}
      </p>
      {(value !== row.value || isUnsigned(row)) && (
        <button type="submit" class="press small">
          {t(value === row.value ? "figure-sign" : "figure-keep")}
        </button>
      )}
      {before !== null && value === row.value && (
        <button type="button" class="press small" onClick={() => void give(before)}>
          {t("figure-back", { value: figure(before) })}
        </button>
      )}
    </form>
  );
}

type ValueProps = {
  readonly row: OwnFigure;
  readonly value: string;
  readonly onValue: (value: string) => void;
  readonly fault: string | null;
};

/** A figure or a text is keyed; what is yes or no is picked. */
function Value({ row, value, onValue, fault }: ValueProps) {
  if (YES_NO.includes(row.usual))
    return (
      <Select
        label={row.label}
        value={value}
        onValue={onValue}
        options={YES_NO.map((id) => ({ id, name: t(`figure-${id}`) }))}
      />
    );
  return (
    <TextField
      label={row.unit ? `${row.label} (${row.unit})` : row.label}
      help={
        row.usual === "" ? row.source : t("figure-usual", { value: figure(row.usual), source: row.source })
      }
      value={value}
      onValue={onValue}
      numeric={row.unit !== ""}
      {...(fault === null ? {} : { fault })}
    />
  );
}
