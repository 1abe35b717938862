/** A brew sheet: stage by stage what to weigh, heat and collect, each figure with its working, and additions by time. */
import { useState } from "preact/hooks";
import { t } from "../../../messages";
import type { Sheet, SheetLine } from "../../../state/brewing";
import { figure } from "../../../ui/figures";
import { Value, Working } from "../../../ui/Working";

export function SheetTable({ sheet }: { readonly sheet: Sheet }) {
  return (
    <section class="brew-sheet" aria-label={t("brew-sheet")}>
      {sheet.stages.map(([id, title]) => {
        const lines = sheet.lines.filter((line) => line.stage === id && !line.quiet);
        return lines.length > 0 && <Stage key={id} title={title} lines={lines} />;
      })}
      <Additions sheet={sheet} />
    </section>
  );
}

function Stage({ title, lines }: { readonly title: string; readonly lines: readonly SheetLine[] }) {
  return (
    <table class="figures-table">
      <caption>{title}</caption>
      <thead class="unseen">
        <tr>
          <th scope="col">{t("column-line")}</th>
          <th scope="col">{t("column-planned")}</th>
        </tr>
      </thead>
      <tbody>
        {lines.map((line) => (
          <Line key={line.id} line={line} />
        ))}
      </tbody>
    </table>
  );
}

function Line({ line }: { readonly line: SheetLine }) {
  return (
    <tr data-fault={line.fault !== null}>
      <th scope="row">{line.working ? <Worked label={line.label} working={line.working} /> : line.label}</th>
      <td>
        {line.value === null ? (
          <span class="sheet-fault">{line.fault}</span>
        ) : (
          <Value value={line.value} unit={line.unit} />
        )}
      </td>
    </tr>
  );
}

type WorkedProps = { readonly label: string; readonly working: NonNullable<SheetLine["working"]> };

/** A label that opens the working behind its figure. */
export function Worked({ label, working }: WorkedProps) {
  const [open, setOpen] = useState(false);
  return (
    <details class="worked" onToggle={(event) => setOpen(event.currentTarget.open)}>
      <summary>{label}</summary>
      {open && <Working working={working} />}
    </details>
  );
}

function Additions({ sheet }: { readonly sheet: Sheet }) {
  const values = new Map(sheet.lines.map((line) => [line.id, line]));
  if (sheet.additions.length === 0) return null;
  return (
    <table class="figures-table">
      <caption>{t("sheet-additions")}</caption>
      <thead class="unseen">
        <tr>
          <th scope="col">{t("column-line")}</th>
          <th scope="col">{t("column-planned")}</th>
        </tr>
      </thead>
      <tbody>
        {sheet.additions.map((row) => {
          const line = values.get(row.line);
          return (
            <tr key={row.line}>
              <th scope="row">
                {t(`addition-${row.use}`, { minutes: figure(row.minutes) })}: {row.label}
              </th>
              <td>{line?.value && <Value value={line.value} unit={line.unit} />}</td>
            </tr>
          );
        })}
      </tbody>
    </table>
  );
}
