/** A list of a procedure: its rows in order, each one line until it is opened; added, moved and taken out by presses. */
import { useState } from "preact/hooks";
import { t } from "../../../messages";
import { type Described, FRESH } from "./answers";
import { Below, type FieldProps } from "./Controls";
import { at, type Draft, type Path, rowsOf, textOf } from "./draft";
import { faultOf, faultsWithin, placeId, rowName, useEditing } from "./editing";
import { LevelWithRest } from "./Level";
import { Offer } from "./Offer";

export function Rows({ row, path }: FieldProps) {
  const { draft, faults, change, reseat, setOpen } = useEditing();
  const [said, setSaid] = useState("");
  const rows = rowsOf(at(draft, path));
  const fields = row.fields ?? [];
  const what = row.row ?? "";
  const add = (held: Draft) => {
    change([...path, rows.length], held);
    setOpen([...path, rows.length], true);
    focusLater(placeId([...path, rows.length]), ".row-body :is(input, select, textarea)");
  };
  const move = (from: number, to: number) => {
    const order = rows.map((_, place) => place);
    order.splice(to, 0, ...order.splice(from, 1));
    change(
      path,
      order.flatMap((place) => rows[place] ?? []),
    );
    reseat(
      path,
      rows.map((_, place) => order.indexOf(place)),
    );
    setSaid(t("procedure-moved", { row: what, number: to + 1, count: rows.length }));
    focusLater(placeId([...path, to]), to < from ? ".row-up" : ".row-down");
  };
  const takeOut = (gone: number) => {
    const rest = rows.filter((_, place) => place !== gone);
    change(path, rest.length > 0 || row.required ? rest : undefined);
    reseat(
      path,
      rows.map((_, place) => (place === gone ? null : place < gone ? place : place - 1)),
    );
    setSaid(t("procedure-gone", { row: what, number: gone + 1 }));
    focusLater(placeId(path), ".row-add");
  };
  return (
    <fieldset class="procedure-rows">
      <legend>{row.label}</legend>
      <Below fault={faultOf(faults, path)} help={row.help} />
      <ol>
        {rows.map((held, place) => (
          <Row
            key={place}
            described={row}
            path={[...path, place]}
            held={held}
            number={place}
            count={rows.length}
            fields={fields}
            move={(to) => move(place, to)}
            takeOut={() => takeOut(place)}
          />
        ))}
      </ol>
      <p class="unseen" aria-live="polite">
        {said}
      </p>
      <div class="row-presses">
        <button type="button" class="press small row-add" onClick={() => add(usual(row))}>
          {t("procedure-row-add", { row: what })}
        </button>
        {row.id === "settings" && <Offer taken={rows} add={add} />}
      </div>
    </fieldset>
  );
}

type RowProps = {
  readonly described: Described;
  readonly path: Path;
  readonly held: Draft;
  readonly number: number;
  readonly count: number;
  readonly fields: readonly Described[];
  readonly move: (to: number) => void;
  readonly takeOut: () => void;
};

function Row({ described, path, held, number, count, fields, move, takeOut }: RowProps) {
  const { faults, isOpen, setOpen } = useEditing();
  const open = isOpen(path);
  const wrong = faultsWithin(faults, path);
  const name = rowName(described, number, held);
  return (
    <li class="procedure-row" id={placeId(path)} data-wrong={wrong > 0}>
      <div class="row-head">
        <button type="button" class="row-name" aria-expanded={open} onClick={() => setOpen(path, !open)}>
          {name}
          {wrong > 0 && !open && <span class="wrong"> {t("procedure-row-faults", { count: wrong })}</span>}
        </button>
        <span class="row-presses">
          <Mover way="up" name={name} able={number > 0} press={() => move(number - 1)} />
          <Mover way="down" name={name} able={number < count - 1} press={() => move(number + 1)} />
        </span>
      </div>
      <Below fault={faultOf(faults, path)} />
      {open && (
        <div class="row-body">
          <LevelWithRest path={path} fields={fields} />
          <button type="button" class="press small stop" onClick={takeOut}>
            {t("procedure-take-out", { what: name })}
          </button>
        </div>
      )}
    </li>
  );
}

type MoverProps = {
  readonly way: "up" | "down";
  readonly name: string;
  readonly able: boolean;
  readonly press: () => void;
};

function Mover({ way, name, able, press }: MoverProps) {
  return (
    <button
      type="button"
      class={`press small row-${way}`}
      aria-disabled={!able}
      onClick={() => able && press()}
    >
      {t(`procedure-${way}`)}
      <span class="unseen"> {name}</span>
    </button>
  );
}

/** A new row: its short name follows its title until somebody writes one. */
function usual(row: Described): Draft {
  const named = row.fields?.some((field) => field.id === "id");
  const held: Record<string, Draft[string]> = named ? { [FRESH]: true } : {};
  for (const field of row.fields ?? []) {
    if (field.kind === "choice" && field.required) held[field.id] = textOf(field.options?.[0]?.[0]);
    if (field.blank) held[field.id] = "";
  }
  return held;
}

/** Leads the focus into a row once it has been drawn. A list's own press for adding comes after those of its rows. */
function focusLater(id: string, press: string): void {
  requestAnimationFrame(() => {
    const found = [...(document.getElementById(id)?.querySelectorAll<HTMLElement>(press) ?? [])];
    (press === ".row-add" ? found.at(-1) : found[0])?.focus();
  });
}
