/** One field of a procedure, by its kind. What is wrong stands below it; a link from the summary finds it by its id. */
import type { JSX } from "preact";
import { t } from "../../../messages";
import { TextField } from "../../../ui/TextField";
import type { Described } from "./answers";
import { Block } from "./Block";
import { Band, Bound } from "./Bound";
import { Below, Check, type FieldProps, Picker } from "./Controls";
import { at, textOf, wordsOf } from "./draft";
import { faultAt, placeId, useEditing } from "./editing";
import { Group } from "./Level";
import { Needs, Picked } from "./Picked";
import { Rows } from "./Rows";

const KINDS: Readonly<Record<Described["kind"], (props: FieldProps) => JSX.Element>> = {
  line: Text,
  text: Text,
  name: Text,
  whole: Text,
  choice: (props) => <Choice {...props} options={props.row.options ?? []} />,
  caution: Caution,
  flag: Flag,
  many: Many,
  cautions: Cautions,
  needs: Needs,
  bound: (props) => <Bound {...props} label={props.row.label} />,
  band: Band,
  group: Group,
  rows: Rows,
  block: Block,
};

export function Field({ row, path }: FieldProps) {
  const Kind = KINDS[row.kind];
  return (
    <div class="procedure-field" data-kind={row.kind} id={placeId(path)}>
      <Kind row={row} path={path} />
    </div>
  );
}

function Text({ row, path }: FieldProps) {
  const { draft, faults, change } = useEditing();
  const fault = faultAt(faults, path);
  const value = at(draft, path);
  return (
    <TextField
      label={row.label}
      value={textOf(value)}
      onValue={(typed) => change(path, typed === "" && !row.blank ? undefined : typed)}
      {...(row.help ? { help: row.help } : {})}
      {...(fault === undefined ? {} : { fault })}
      {...(row.longest === undefined ? {} : { longest: row.longest })}
      {...(row.kind === "text" ? { lines: 3 } : {})}
      numeric={row.kind === "whole"}
    />
  );
}

type ChoiceProps = FieldProps & { readonly options: readonly (readonly [string, string])[] };

export function Choice({ row, path, options }: ChoiceProps) {
  const { draft, faults, change } = useEditing();
  const value = textOf(at(draft, path));
  const known = options.some(([id]) => id === value);
  const none = !row.required || value === "" || !known;
  return (
    <Picker
      label={row.label}
      value={value}
      onValue={(picked) => change(path, picked === "" ? undefined : picked)}
      fault={faultAt(faults, path)}
      help={row.help}
    >
      {none && <option value="">{t("procedure-none")}</option>}
      {!known && value !== "" && <option value={value}>{value}</option>}
      {options.map(([id, name]) => (
        <option key={id} value={id}>
          {name}
        </option>
      ))}
    </Picker>
  );
}

function Caution(props: FieldProps) {
  const { form } = useEditing();
  return <Choice {...props} options={form.cautions.map(({ id, title }) => [id, title])} />;
}

function Flag({ row, path }: FieldProps) {
  const { draft, faults, change } = useEditing();
  return (
    <>
      <Check
        label={row.label}
        checked={at(draft, path) === true}
        onChecked={(checked) => change(path, checked || undefined)}
      />
      <Below fault={faultAt(faults, path)} help={row.help} />
    </>
  );
}

function Many({ row, path }: FieldProps) {
  const { draft, faults, change } = useEditing();
  const chosen = wordsOf(at(draft, path));
  const toggle = (id: string, checked: boolean) =>
    change(path, checked ? [...chosen, id] : chosen.filter((other) => other !== id));
  return (
    <fieldset class="procedure-many">
      <legend>{row.label}</legend>
      {row.options?.map(([id, name]) => (
        <Check
          key={id}
          label={name}
          checked={chosen.includes(id)}
          onChecked={(checked) => toggle(id, checked)}
        />
      ))}
      <Below fault={faultAt(faults, path)} help={row.help} />
    </fieldset>
  );
}

function Cautions({ row, path }: FieldProps) {
  const { draft, form, change } = useEditing();
  const chosen = wordsOf(at(draft, path));
  return (
    <Picked
      label={row.label}
      path={path}
      chosen={chosen}
      options={form.cautions.map(({ id, title }) => [id, title])}
      onChosen={(next) => change(path, next.length > 0 ? next : undefined)}
      add={t("procedure-caution-add")}
    />
  );
}
