/** The fields of a recipe, as the core describes them: figures in groups, then the grist and the hops by rows. */
import { t } from "../../../messages";
import type { Asked, Draft, Form, RecipeRow, TableName } from "../../../state/brewing";
import { Select } from "../../../ui/Select";
import { TextField } from "../../../ui/TextField";

type Change = (part: Partial<Draft>, field: string) => void;
type Faults = ReadonlyMap<string, string>;
type Props = {
  readonly form: Form;
  readonly draft: Draft;
  readonly faults: Faults;
  readonly change: Change;
};

export function RecipeForm({ form, draft, faults, change }: Props) {
  const groups = form.groups.map((group) => (
    <fieldset key={group.id} class="recipe-group">
      <legend>{group.title}</legend>
      {group.fields.map((field) => (
        <Field
          key={field.id}
          field={field}
          value={String(draft[field.id] ?? "")}
          fault={faults.get(field.id)}
          onValue={(value) => change({ [field.id]: value }, field.id)}
        />
      ))}
    </fieldset>
  ));
  const tables = form.tables.map((table) => (
    <Table key={table.id} table={table} rows={draft[table.id]} faults={faults} change={change} />
  ));
  // The beer, then what goes into it, then how it is made.
  return (
    <>
      {groups.slice(0, 1)}
      {tables}
      {groups.slice(1)}
    </>
  );
}

type FieldProps = {
  readonly field: Asked;
  readonly value: string;
  readonly fault: string | undefined;
  readonly onValue: (value: string) => void;
};

function Field({ field, value, fault, onValue }: FieldProps) {
  const named = field.unit ? `${field.label} (${field.unit})` : field.label;
  const label = field.optional ? t("recipe-optional", { label: named }) : named;
  if (field.options)
    return (
      <Select
        label={label}
        value={value || (field.default ?? "")}
        onValue={onValue}
        options={field.options.map(([id, name]) => ({ id, name }))}
      />
    );
  return (
    <TextField
      label={label}
      value={value}
      onValue={onValue}
      numeric={field.kind === undefined}
      {...(field.longest === undefined ? {} : { longest: field.longest })}
      {...(field.longest !== undefined && field.longest > 200 ? { lines: 3 } : {})}
      {...(fault === undefined ? {} : { fault })}
    />
  );
}

type TableProps = {
  readonly table: Form["tables"][number];
  readonly rows: readonly RecipeRow[];
  readonly faults: Faults;
  readonly change: Change;
};

function Table({ table, rows, faults, change }: TableProps) {
  const set = (next: readonly RecipeRow[], field: string) =>
    change({ [table.id]: next } as Partial<Record<TableName, readonly RecipeRow[]>>, field);
  const wrong = faults.get(table.id);
  return (
    <fieldset class="recipe-group">
      <legend>{table.title}</legend>
      {rows.map((row, at) => (
        <fieldset key={at} class="recipe-row">
          <legend>{t("recipe-row", { row: table.row, number: at + 1 })}</legend>
          {table.columns
            .filter((column) => fits(column, row, table.columns))
            .map((column) => (
              <Field
                key={column.id}
                field={column}
                value={row[column.id] ?? ""}
                fault={faults.get(`${table.id}.${at}.${column.id}`)}
                onValue={(value) =>
                  set(
                    rows.map((other, place) => (place === at ? { ...other, [column.id]: value } : other)),
                    `${table.id}.${at}.${column.id}`,
                  )
                }
              />
            ))}
          <button
            type="button"
            class="press small"
            onClick={() =>
              set(
                rows.filter((_, place) => place !== at),
                table.id,
              )
            }
          >
            {t("recipe-row-out", { row: table.row, number: at + 1 })}
          </button>
        </fieldset>
      ))}
      {wrong && <p class="wrong">{wrong}</p>}
      <button
        type="button"
        class="press small"
        onClick={() => set([...rows, usual(table.columns)], table.id)}
      >
        {t("recipe-row-in", { row: table.row })}
      </button>
    </fieldset>
  );
}

const usual = (columns: readonly Asked[]): RecipeRow =>
  Object.fromEntries(columns.flatMap(({ id, default: usually }) => (usually ? [[id, usually]] : [])));

/** A column is asked of the rows whose use it has; what a row's use is, its own choice says. */
function fits(column: Asked, row: RecipeRow, columns: readonly Asked[]): boolean {
  const use = row.use ?? columns.find((other) => other.id === "use")?.default ?? "";
  return column.uses === undefined || column.uses.some((one) => one === use);
}
