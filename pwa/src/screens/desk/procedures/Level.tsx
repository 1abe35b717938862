/** The fields of one level of a procedure, and a group of them that may be there or not. */
import { t } from "../../../messages";
import type { Described } from "./answers";
import { Rest } from "./Block";
import { Below, type FieldProps } from "./Controls";
import { at, type Draft, type Path, textOf, type Value } from "./draft";
import { faultOf, useEditing } from "./editing";

type Props = { readonly path: Path; readonly fields: readonly Described[] };

export function Level({ path, fields }: Props) {
  const { draft, Field } = useEditing();
  const kind = textOf(at(draft, [...path, "kind"]));
  // A field that another kind of row has is not asked for, but what it holds is never hidden.
  const asked = (row: Described) =>
    !row.when || row.when.includes(kind) || holds(at(draft, [...path, row.id]));
  return (
    <div class="procedure-level">
      {fields.filter(asked).map((row) => (
        <Field key={row.id} row={row} path={[...path, row.id]} />
      ))}
    </div>
  );
}

const holds = (value: Value | undefined): boolean => value !== undefined && value !== "";

/** A level of a row; what the form has no field for follows it. */
export function LevelWithRest(props: Props) {
  return (
    <>
      <Level {...props} />
      <Rest {...props} />
    </>
  );
}

export function Group({ row, path }: FieldProps) {
  const { draft, faults, change } = useEditing();
  const fields = row.fields ?? [];
  if (at(draft, path) === undefined)
    return (
      <>
        <button type="button" class="press small" onClick={() => change(path, begun(fields))}>
          {t("procedure-add", { what: row.label })}
        </button>
        <Below fault={faultOf(faults, path)} />
      </>
    );
  return (
    <fieldset class="procedure-group">
      <legend>{row.label}</legend>
      <Below fault={faultOf(faults, path)} />
      <Level path={path} fields={fields} />
      {textOfRest(at(draft, [...path, "rest"])) && <Rest path={path} fields={fields} />}
      <button type="button" class="press small" onClick={() => change(path, undefined)}>
        {t("procedure-take-out", { what: row.label })}
      </button>
    </fieldset>
  );
}

const textOfRest = (value: unknown): boolean => typeof value === "string" && value !== "";

/** What a group holds when it is added: bands with both ends open, yes or no said. */
function begun(fields: readonly Described[]): Draft {
  const held: Record<string, Value> = {};
  for (const field of fields) {
    if (field.kind === "band" && field.required) held[field.id] = [null, null];
    if (field.kind === "flag" && field.required) held[field.id] = true;
  }
  return held;
}
