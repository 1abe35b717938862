/** Text of a procedure as it stands in its file. What has no field of its own is here, so that all can be reached. */
import { useId } from "preact/hooks";
import { t } from "../../../messages";
import type { Described } from "./answers";
import { Below, type FieldProps } from "./Controls";
import { at, type Path, textOf } from "./draft";
import { faultAt, faultInRest, placeId, useEditing } from "./editing";

type TextProps = {
  readonly label: string;
  readonly path: Path;
  readonly fault: string | undefined;
  readonly help: string;
};

function FileText({ label, path, fault, help }: TextProps) {
  const { draft, change } = useEditing();
  const id = useId();
  const value = textOf(at(draft, path));
  return (
    <div class="text-field">
      <label for={id}>{label}</label>
      <textarea
        id={id}
        class="text file-text"
        rows={Math.min(12, Math.max(3, value.split("\n").length))}
        value={value}
        spellcheck={false}
        autocapitalize="off"
        onInput={(event) => change(path, event.currentTarget.value || undefined)}
        {...(fault ? { "aria-invalid": true } : {})}
        aria-describedby={`${id}-help`}
      />
      <Below id={`${id}-help`} fault={fault} help={help} />
    </div>
  );
}

export function Block({ row, path }: FieldProps) {
  const { faults } = useEditing();
  return (
    <>
      <FileText label={row.label} path={path} fault={faultAt(faults, path)} help={row.help} />
      {row.id === "inputs" && <Feeds path={path} />}
    </>
  );
}

/** What the calculation chosen beside it is given. */
function Feeds({ path }: { readonly path: Path }) {
  const { draft, form } = useEditing();
  const name = at(draft, [...path.slice(0, -1), "calculation"]);
  const row = form.calculations.find((other) => other.name === name);
  if (!row) return null;
  return (
    <details class="feeds">
      <summary>{t("procedure-feeds", { title: row.title })}</summary>
      <ul>
        {row.inputs.map((input) => (
          <li key={input.id}>
            <code>{input.id}</code> {input.unit ? `${input.label} (${input.unit})` : input.label}
          </li>
        ))}
      </ul>
    </details>
  );
}

type RestProps = { readonly path: Path; readonly fields: readonly Described[] };

/** The rest of a level, folded away while there is nothing in it. */
export function Rest({ path, fields }: RestProps) {
  const { draft, faults } = useEditing();
  const place = [...path, "rest"];
  const fault = faultInRest(faults, path, fields);
  const held = textOf(at(draft, place)) !== "";
  return (
    <details class="rest" id={placeId(place)} open={held || fault !== undefined}>
      <summary>{t("procedure-rest")}</summary>
      <FileText label={t("procedure-rest-text")} path={place} fault={fault} help={t("procedure-rest-help")} />
    </details>
  );
}
