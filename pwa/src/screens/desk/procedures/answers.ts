/** Procedures at the desk: what the office answers, and how a draft travels. */
import { read, send } from "../../../api";
import type {
  CalculationChoice as Calculation,
  CautionChoice,
  Change,
  FormField as Described,
  Fault,
  ProcedureVersions as Listed,
  PublishedVersion as Published,
  SiteFigure,
} from "../../../shapes";
import type { Procedure } from "../../../state/view";
import type { Draft, Value } from "./draft";

export type { Calculation, Change, Described, Fault, Listed, Published };

export type Held = { readonly procedure: Procedure; readonly draft: Draft; readonly file: string };
export type Checked = {
  readonly faults: readonly Fault[];
  readonly procedure: Procedure | null;
  readonly file: string | null;
  readonly newest: number | null;
  readonly difference: readonly Change[];
};

export type Form = {
  readonly fields: readonly Described[];
  readonly cautions: readonly CautionChoice[];
  readonly settings: readonly SiteFigure[];
  readonly calculations: readonly Calculation[];
};

const BASE = "/api/desk/procedures";
const isFields = (value: unknown): value is Readonly<Record<string, unknown>> =>
  typeof value === "object" && value !== null;
const isListed = (value: unknown): value is { readonly procedures: readonly Listed[] } =>
  isFields(value) && Array.isArray(value.procedures);
const isHeld = (value: unknown): value is Held =>
  isFields(value) && isFields(value.procedure) && isFields(value.draft) && typeof value.file === "string";
const isForm = (value: unknown): value is Form => isFields(value) && Array.isArray(value.fields);
const isChecked = (value: unknown): value is Checked =>
  isFields(value) && Array.isArray(value.faults) && Array.isArray(value.difference);
const isRows = (value: unknown): value is { readonly rows: readonly Change[] } =>
  isFields(value) && Array.isArray(value.rows);
const isOpened = (value: unknown): value is { readonly draft: Draft } =>
  isFields(value) && isFields(value.draft);
const isPublished = (value: unknown): value is { readonly sha256: string } =>
  isFields(value) && typeof value.sha256 === "string";

export const listed = async (): Promise<readonly Listed[]> => (await read(BASE, isListed)).procedures;
export const versionOf = (id: string, version: number): Promise<Held> =>
  read(`${BASE}/${encodeURIComponent(id)}/versions/${version}`, isHeld);
export const differenceOf = async (id: string, before: number, after: number): Promise<readonly Change[]> =>
  (await read(`${BASE}/${encodeURIComponent(id)}/difference?before=${before}&after=${after}`, isRows)).rows;
export const procedureForm = (): Promise<Form> => read(`${BASE}/form`, isForm);
export const check = (draft: Draft): Promise<Checked> =>
  send("POST", `${BASE}/check`, sent(draft), isChecked);
export const openFile = async (text: string): Promise<Draft> =>
  (await send("POST", `${BASE}/file`, { text }, isOpened)).draft;
export const publish = (procedure: Procedure, note: string): ReturnType<typeof send<{ sha256: string }>> =>
  send("POST", BASE, { ...procedure, note }, isPublished);

/** The mark of a row whose short name still follows its title; it is this screen's own and never sent. */
export const FRESH = "+";

/** A draft as the office takes it. */
function sent(value: Draft): Draft;
function sent(value: Value): Value;
function sent(value: Value): Value {
  if (Array.isArray(value)) return value.map((item: Value) => sent(item));
  if (typeof value !== "object" || value === null) return value;
  const parts = Object.entries(value as Draft).filter(([key]) => key !== FRESH);
  return Object.fromEntries(parts.map(([key, part]) => [key, sent(part)]));
}
