/** Several of a long list: those picked, each with a way out, and a list to pick another from. Also what a step waits for. */
import { t } from "../../../messages";
import { Below, type FieldProps, Picker } from "./Controls";
import { at, type Path, rowsOf, textOf, wordsOf } from "./draft";
import { faultAt, useEditing } from "./editing";

type Props = {
  readonly label: string;
  readonly path: Path;
  readonly chosen: readonly string[];
  readonly options: readonly (readonly [string, string])[];
  readonly onChosen: (next: readonly string[]) => void;
  readonly add: string;
};

export function Picked({ label, path, chosen, options, onChosen, add }: Props) {
  const { faults } = useEditing();
  const names = new Map(options);
  return (
    <fieldset class="procedure-picked">
      <legend>{label}</legend>
      {chosen.length > 0 && (
        <ul>
          {chosen.map((id, place) => (
            <li key={`${id} ${place}`}>
              <span>{names.get(id) ?? id}</span>
              <button
                type="button"
                class="press small"
                onClick={() => onChosen(chosen.filter((_, other) => other !== place))}
              >
                {t("procedure-picked-out")}
                <span class="unseen"> {names.get(id) ?? id}</span>
              </button>
            </li>
          ))}
        </ul>
      )}
      <Picker label={add} value="" onValue={(id) => id !== "" && onChosen([...chosen, id])}>
        <option value="">{t("procedure-none")}</option>
        {options
          .filter(([id]) => !chosen.includes(id))
          .map(([id, name]) => (
            <option key={id} value={id}>
              {name}
            </option>
          ))}
      </Picker>
      <Below fault={faultAt(faults, path)} />
    </fieldset>
  );
}

/** Absent: the step before. None: nothing. Else the steps named, all of which come before. */
export function Needs({ row, path }: FieldProps) {
  const { draft, faults, change } = useEditing();
  const step = path[1] as number;
  const before = rowsOf(draft.steps).slice(0, step);
  const held = at(draft, path);
  const chosen = wordsOf(held);
  const anytime = rowsOf(draft.steps)[step]?.anytime === true;
  const way = held === undefined ? "before" : chosen.length > 0 ? "these" : "none";
  const last = textOf(before.at(-1)?.id);
  const turn = (next: string) =>
    change(path, next === "before" ? undefined : next === "these" && last !== "" ? [last] : []);
  return (
    <>
      <Picker
        label={row.label}
        value={way}
        onValue={turn}
        fault={way === "these" ? undefined : faultAt(faults, path)}
      >
        <option value="before">
          {t(anytime || before.length === 0 ? "procedure-needs-any" : "procedure-needs-before")}
        </option>
        <option value="none">{t("procedure-needs-none")}</option>
        {before.length > 0 && <option value="these">{t("procedure-needs-these")}</option>}
      </Picker>
      {way === "these" && (
        <Picked
          label={t("procedure-needs-which")}
          path={path}
          chosen={chosen}
          options={before.map((other) => [textOf(other.id), textOf(other.title)])}
          onChosen={(next) => change(path, next)}
          add={t("procedure-needs-add")}
        />
      )}
    </>
  );
}
