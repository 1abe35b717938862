/** What the editor's fields are made of: one of a list, a box to tick, and what is wrong or meant below it. */
import type { ComponentChildren } from "preact";
import { useId } from "preact/hooks";
import type { Described } from "./answers";
import type { Path } from "./draft";

export type FieldProps = { readonly row: Described; readonly path: Path };

type PickerProps = {
  readonly label: string;
  readonly value: string;
  readonly onValue: (value: string) => void;
  readonly fault?: string | undefined;
  readonly help?: string;
  readonly children: ComponentChildren;
};

/** One of a list, with what is wrong or what it means below it. */
export function Picker({ label, value, onValue, fault, help, children }: PickerProps) {
  const id = useId();
  const below = fault || help;
  return (
    <div class="text-field">
      <label for={id}>{label}</label>
      <select
        id={id}
        class="text"
        value={value}
        onChange={(event) => onValue(event.currentTarget.value)}
        {...(fault ? { "aria-invalid": true } : {})}
        {...(below ? { "aria-describedby": `${id}-help` } : {})}
      >
        {children}
      </select>
      <Below id={`${id}-help`} fault={fault} help={help} />
    </div>
  );
}

type BelowProps = {
  readonly id?: string;
  readonly fault?: string | undefined;
  readonly help?: string | undefined;
};

export function Below({ id, fault, help }: BelowProps) {
  if (!fault && !help) return null;
  return (
    <p class={fault ? "wrong" : "help"} {...(id ? { id } : {})}>
      {fault || help}
    </p>
  );
}

type CheckProps = {
  readonly label: string;
  readonly checked: boolean;
  readonly onChecked: (checked: boolean) => void;
};

export function Check({ label, checked, onChecked }: CheckProps) {
  return (
    <label class="procedure-check">
      <input type="checkbox" checked={checked} onChange={(event) => onChecked(event.currentTarget.checked)} />
      {label}
    </label>
  );
}
