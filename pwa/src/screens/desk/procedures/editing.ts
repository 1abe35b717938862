/** What every part of the editor shares: the form, the draft, its faults, and which rows are unfolded. */
import { type ComponentType, createContext } from "preact";
import { useContext } from "preact/hooks";
import { t } from "../../../messages";
import type { Described, Fault, Form } from "./answers";
import type { FieldProps } from "./Controls";
import { type Draft, isList, isMap, type Path, type Value } from "./draft";

export type Editing = {
  readonly form: Form;
  readonly draft: Draft;
  readonly faults: readonly Fault[];
  /** A field of any kind: those that hold levels of fields draw it again, and need not know the kinds. */
  readonly Field: ComponentType<FieldProps>;
  readonly change: (path: Path, value: Value | undefined) => void;
  readonly isOpen: (path: Path) => boolean;
  readonly setOpen: (path: Path, open: boolean) => void;
  /** Rows of a list change places: what was `from` is now `to`; null takes it out. */
  readonly reseat: (list: Path, seats: readonly (number | null)[]) => void;
};

const Shared = createContext<Editing | null>(null);
export const EditingProvider = Shared.Provider;

export function useEditing(): Editing {
  const editing = useContext(Shared);
  if (!editing) throw new Error("a field outside the editor");
  return editing;
}

/** A path as faults name it, and as an element's id. */
export const dotted = (path: Path): string => path.join(".");
export const placeId = (path: Path): string => `at-${dotted(path)}`;

const REST = "rest";
const under = (field: string, place: string): boolean => field === place || field.startsWith(`${place}.`);

/** What is wrong at a field, with whatever lies inside it that no field shows. */
export function faultAt(faults: readonly Fault[], path: Path): string | undefined {
  const place = dotted(path);
  const found = faults.filter((fault) => under(fault.field, place)).map((fault) => fault.text);
  return found.length > 0 ? found.join(" · ") : undefined;
}

/** What is wrong with a row, a list or a group itself, not with a field in it. */
export function faultOf(faults: readonly Fault[], path: Path): string | undefined {
  const place = dotted(path);
  const found = faults.filter((fault) => fault.field === place).map((fault) => fault.text);
  return found.length > 0 ? found.join(" · ") : undefined;
}

export const faultsWithin = (faults: readonly Fault[], path: Path): number =>
  faults.filter((fault) => under(fault.field, dotted(path))).length;

/** What is wrong in the rest of a level: all that lies there and is no field of the form. */
export function faultInRest(
  faults: readonly Fault[],
  path: Path,
  fields: readonly Described[],
): string | undefined {
  const known = new Set([
    ...fields.map((field) => field.id),
    ...(path.length === 0 ? ["id", "version"] : []),
  ]);
  const start = path.length === 0 ? "" : `${dotted(path)}.`;
  const found = faults.flatMap(({ field, text }) => {
    const inside = field.startsWith(start) && field !== dotted(path) ? field.slice(start.length) : "";
    const name = inside.split(".")[0] ?? "";
    if (name === "" || known.has(name)) return [];
    return [name === REST ? text : `${inside}: ${text}`];
  });
  return found.length > 0 ? found.join(" · ") : undefined;
}

export type Place = { readonly words: readonly string[]; readonly path: Path };

/** Where a fault is: in words, and the path of the field that shows it. */
export function placeOf(form: Form, draft: Draft, field: string): Place {
  if (field === "id") return { words: [t("procedure-short-name")], path: ["id"] };
  return within(form.fields, draft, field.split("."), { words: [], path: [] });
}

function within(
  fields: readonly Described[],
  level: Value | undefined,
  parts: readonly string[],
  { words, path }: Place,
): Place {
  const [name, ...after] = parts;
  const described = fields.find((row) => row.id === name);
  if (!described) return { words, path: name === undefined ? path : [...path, REST] };
  const held = isMap(level) ? level[described.id] : undefined;
  const inner = [...path, described.id];
  const [number, ...rest] = after;
  if (described.kind === "rows" && number !== undefined) {
    const seat = Number(number);
    const row = isList(held) ? held[seat] : undefined;
    const named = [...words, rowName(described, seat, row)];
    return within(described.fields ?? [], row, rest, { words: named, path: [...inner, seat] });
  }
  if (described.kind === "band" && number !== undefined) {
    const end = `${described.label}, ${t(number === "0" ? "procedure-from" : "procedure-to")}`;
    return { words: [...words, end], path: [...inner, Number(number)] };
  }
  const named = { words: [...words, described.label], path: inner };
  return described.kind === "group" ? within(described.fields ?? [], held, after, named) : named;
}

/** "Step 3, Dose the caustic" */
export function rowName(described: Described, at: number, value: Value | undefined): string {
  const row = isMap(value) ? value : {};
  const name = row.title ?? row.label ?? row.caution ?? row.id;
  return typeof name === "string" && name !== ""
    ? `${described.row} ${at + 1}, ${name}`
    : `${described.row} ${at + 1}`;
}
