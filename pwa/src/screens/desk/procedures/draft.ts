/** A procedure being written: a tree of fields, changed by paths. */
import type { Draft, Value } from "../../../state/drafts";

export type { Draft, Value };
export type Path = readonly (string | number)[];

export const isMap = (value: Value | undefined): value is { readonly [key: string]: Value } =>
  typeof value === "object" && value !== null && !Array.isArray(value);
export const isList = (value: Value | undefined): value is readonly Value[] => Array.isArray(value);
export const rowsOf = (value: Value | undefined): readonly Draft[] =>
  isList(value) ? value.filter(isMap) : [];
export const wordsOf = (value: Value | undefined): readonly string[] =>
  isList(value) ? value.filter((item) => typeof item === "string") : [];
export const textOf = (value: Value | undefined): string =>
  typeof value === "string" || typeof value === "number" ? String(value) : "";

/** The value at a path, or undefined. */
export function at(root: Value | undefined, path: Path): Value | undefined {
  let value: Value | undefined = root;
  for (const part of path) {
    if (typeof part === "number") value = isList(value) ? value[part] : undefined;
    else value = isMap(value) ? value[part] : undefined;
  }
  return value;
}

/** The tree with another value at a path; undefined takes a key out of its level. */
export function put(root: Draft, path: Path, value: Value | undefined): Draft {
  return placed(root, path, value) as Draft;
}

function placed(root: Value | undefined, path: Path, value: Value | undefined): Value | undefined {
  const [part, ...rest] = path;
  if (part === undefined) return value;
  if (typeof part === "number") {
    const list = isList(root) ? [...root] : [];
    list[part] = placed(list[part], rest, value) ?? null;
    return list;
  }
  const { [part]: held, ...others } = isMap(root) ? root : {};
  const next = placed(held, rest, value);
  if (next === undefined) return others;
  return held === undefined ? { ...others, [part]: next } : { ...(root as Draft), [part]: next };
}
