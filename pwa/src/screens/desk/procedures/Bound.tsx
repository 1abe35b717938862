/** A number of a procedure: a figure, or where it is found: a site figure, an answer on opening, a reading, a sum. */
import { t } from "../../../messages";
import { TextField } from "../../../ui/TextField";
import { Below, type FieldProps, Picker } from "./Controls";
import { at, type Draft, isMap, type Path, rowsOf, textOf, type Value } from "./draft";
import { faultAt, faultOf, placeId, useEditing } from "./editing";

type Way = "open" | "figure" | "setting" | "input" | "entry" | "block";
const SUM = "calculation: \ninputs:\n  ";
const LINKED = ["setting", "input", "entry"] as const;

function wayOf(value: Value | undefined, mayBeOpen: boolean): Way {
  if (isMap(value)) {
    if ("block" in value) return "block";
    return LINKED.find((way) => way in value) ?? "block";
  }
  return mayBeOpen && (value === null || value === undefined) ? "open" : "figure";
}

/** The two ends of a band; an open end is no limit. */
export function Band({ row, path }: FieldProps) {
  const { draft, faults, change } = useEditing();
  const held = at(draft, path);
  if (held === undefined)
    return (
      <button type="button" class="press small" onClick={() => change(path, [null, null])}>
        {t("procedure-add", { what: row.label })}
      </button>
    );
  return (
    <fieldset class="procedure-band">
      <legend>{row.label}</legend>
      {(["from", "to"] as const).map((end, place) => (
        <div key={end} id={placeId([...path, place])}>
          <Bound row={row} path={[...path, place]} label={t(`procedure-${end}`)} mayBeOpen />
        </div>
      ))}
      {!row.required && (
        <button type="button" class="press small" onClick={() => change(path, undefined)}>
          {t("procedure-take-out", { what: row.label })}
        </button>
      )}
      <Below fault={faultOf(faults, path)} help={row.help} />
    </fieldset>
  );
}

type Props = FieldProps & { readonly label: string; readonly mayBeOpen?: boolean };

export function Bound({ row, path, label, mayBeOpen = !row.required }: Props) {
  const { draft, faults, change } = useEditing();
  const value = at(draft, path);
  const way = wayOf(value, mayBeOpen);
  const nothing = typeof path.at(-1) === "number" ? null : undefined;
  const fault = faultAt(faults, path);
  const turn = (next: string) => {
    if (next === "open") change(path, nothing);
    else if (next === "figure") change(path, "");
    else if (next === "block") change(path, { block: SUM });
    else change(path, { [next]: "" });
  };
  const ways: readonly Way[] = [...(mayBeOpen ? (["open"] as const) : []), "figure", ...LINKED, "block"];
  return (
    <div class="procedure-bound">
      <Picker label={label} value={way} onValue={turn} {...(way === "open" ? { fault } : {})}>
        {ways.map((other) => (
          <option key={other} value={other}>
            {t(`bound-${other}`)}
          </option>
        ))}
      </Picker>
      <Given way={way} path={path} value={value} fault={fault} />
    </div>
  );
}

type GivenProps = {
  readonly way: Way;
  readonly path: Path;
  readonly value: Value | undefined;
  readonly fault: string | undefined;
};

function Given({ way, path, value, fault }: GivenProps) {
  const { draft, change } = useEditing();
  const wrong = fault === undefined ? {} : { fault };
  if (way === "open") return null;
  if (way === "figure")
    return (
      <TextField
        label={t("bound-value")}
        value={textOf(value)}
        onValue={(typed) => change(path, typed)}
        numeric
        {...wrong}
      />
    );
  const held = isMap(value) ? value : {};
  if (way === "block")
    return (
      <TextField
        label={t("bound-sum")}
        value={textOf(held.block)}
        onValue={(typed) => change(path, { block: typed })}
        lines={4}
        {...wrong}
      />
    );
  const options = optionsOf(draft, way, path);
  const named = textOf(held[way]);
  return (
    <>
      <Picker
        label={t("bound-which")}
        value={named}
        onValue={(id) => change(path, { ...held, [way]: id })}
        fault={fault}
      >
        <option value="">{t("procedure-none")}</option>
        {named !== "" && !options.some(([id]) => id === named) && <option value={named}>{named}</option>}
        {options.map(([id, name]) => (
          <option key={id} value={id}>
            {name}
          </option>
        ))}
      </Picker>
      {(way === "entry" || "plus" in held) && (
        <TextField
          label={t("bound-plus")}
          value={textOf(held.plus)}
          onValue={(plus) => {
            const { plus: _, ...rest } = held;
            change(path, plus === "" ? rest : { ...rest, plus });
          }}
          numeric
        />
      )}
    </>
  );
}

/** What a bound may name: this procedure's own figures and answers, and the readings up to this step. */
function optionsOf(
  draft: Draft,
  way: "setting" | "input" | "entry",
  path: Path,
): (readonly [string, string])[] {
  if (way !== "entry")
    return rowsOf(way === "setting" ? draft.settings : draft.inputs).map((row) => [
      textOf(row.id),
      textOf(row.label),
    ]);
  const last = typeof path[1] === "number" ? path[1] : 0;
  return rowsOf(draft.steps)
    .slice(0, last + 1)
    .flatMap((step) =>
      rowsOf(step.entries)
        .filter((entry) => entry.kind === "reading" || entry.kind === "count")
        .map(
          (entry) =>
            [
              `${textOf(step.id)}.${textOf(entry.id)}`,
              `${textOf(step.title)}: ${textOf(entry.label)}`,
            ] as const,
        ),
    );
}
