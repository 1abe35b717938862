/** What stands further down the desk's first page: runs to settle, cleans that end, instruments due, rules overridden. */
import { t } from "../../../messages";
import { now } from "../../../state/clock";
import { personName, vesselName } from "../../../state/known";
import { to } from "../../../state/route";
import type { InstrumentView, RunLine } from "../../../state/view";
import { moment } from "../../../ui/time";
import type { NeedKind, Needs as NeedsAnswer, Overridden, VesselDue } from "../answers";
import { InstrumentStanding } from "../Instruments";

const KINDS: readonly NeedKind[] = ["faults", "contested"];

/** What must be seen to, but not at once. */
export function Below({ answer }: { readonly answer: NeedsAnswer }) {
  return (
    <>
      {KINDS.map((kind) => (
        <Runs key={kind} kind={kind} count={answer.counts[kind]} rows={answer.runs[kind] ?? []} />
      ))}
      <Vessels rows={answer.vessels} />
      <Found rows={answer.instruments} />
      <Overrides rows={answer.overrides} />
    </>
  );
}

/** What shakes the record itself comes before anything in it. */
export function AboutLog({ doubts, restores }: Required<Pick<NeedsAnswer, "doubts" | "restores">>) {
  if (doubts.length + restores.length === 0) return null;
  return (
    <section>
      <h2>{t("needs-log")}</h2>
      {doubts.map((row) => (
        <p key={row.device + row.time} class="wrong">
          {t(`needs-doubt-${row.kind}`, {
            name: row.name,
            time: moment(row.time),
            kept: row.kept,
            told: row.told ?? 0,
          })}
        </p>
      ))}
      {restores.map((row) => (
        <p key={row.time}>{t("needs-restored", { time: moment(row.time), count: row.size })}</p>
      ))}
    </section>
  );
}

type RunsProps = { readonly kind: NeedKind; readonly count: number; readonly rows: readonly RunLine[] };

function Runs({ kind, count, rows }: RunsProps) {
  if (rows.length === 0) return null;
  return (
    <section>
      <h2>{t(`needs-${kind}`, { count })}</h2>
      <ul class="need-list">
        {rows.map((line) => (
          <li key={line.id}>
            <a class="need" href={to("record", "run", line.id)}>
              <strong>{line.vessel ? vesselName(line.vessel) : line.title || line.id}</strong>
              {line.vessel && <span>{line.title}</span>}
              {line.fault && <span>{t("needs-fault", { fault: line.fault.text })}</span>}
              <span class="whose">
                {line.opened &&
                  t("record-by", { person: personName(line.opened.person), time: moment(line.opened.time) })}
              </span>
            </a>
          </li>
        ))}
      </ul>
    </section>
  );
}

/** How often each rule was overridden: one that is overridden often is a bad rule, not a bad crew. */
function Overrides({ rows }: { readonly rows: readonly Overridden[] }) {
  if (rows.length === 0) return null;
  return (
    <section>
      <h2>{t("needs-overrides")}</h2>
      <ul class="overrides">
        {rows.map(({ interlock, title, runs, overridden, redesign }) => (
          <li key={interlock}>
            {t("needs-override", { title, runs, overridden })}
            {redesign && <strong>{t("needs-override-redesign")}</strong>}
          </li>
        ))}
      </ul>
    </section>
  );
}

/** Instruments that failed their check or are due for one. */
function Found({ rows }: { readonly rows: readonly InstrumentView<string>[] }) {
  if (rows.length === 0) return null;
  return (
    <section>
      <h2>{t("needs-instruments", { count: rows.length })}</h2>
      <ul class="need-list">
        {rows.map((row) => (
          <li key={row.id}>
            <a class="need" href={to("record", "instrument", row.id)}>
              <strong>{row.name}</strong>
              <InstrumentStanding row={row} />
            </a>
          </li>
        ))}
      </ul>
    </section>
  );
}

function Vessels({ rows }: { readonly rows: readonly VesselDue[] }) {
  if (rows.length === 0) return null;
  return (
    <section>
      <h2>{t("needs-vessels", { count: rows.length })}</h2>
      <ul class="need-list">
        {rows.map((row) => (
          <li key={row.id}>
            <a class="need" href={to("vessel", row.id)}>
              <strong>{row.name}</strong>
              <span>{t(`vessel-state-${row.state}`)}</span>
              {row.proved_until && (
                <span class="whose">
                  {t(Date.parse(row.proved_until) > now.value ? "needs-until" : "needs-was-until", {
                    time: moment(row.proved_until),
                  })}
                </span>
              )}
            </a>
          </li>
        ))}
      </ul>
    </section>
  );
}
