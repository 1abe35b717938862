/** What the desk asks the office about instruments, and what it keeps of one. */
import { read, send } from "../../api";
import type { InstrumentView } from "../../state/view";

/** What a failed check put in doubt in one run. */
export type Doubted = {
  readonly run: string;
  readonly vessel: string | null;
  readonly title: string;
  readonly opened: string;
  readonly texts: readonly string[];
  readonly answered: boolean;
};
export type Listed = InstrumentView<string> & { readonly doubt: readonly Doubted[] };
export type Instruments = { readonly instruments: readonly Listed[]; readonly kinds: readonly string[] };
export type Draft = {
  readonly id: string;
  readonly name: string;
  readonly kind: string;
  readonly place: string;
  readonly check_days: string;
  readonly in_use: boolean;
};

const isFields = (value: unknown): value is Readonly<Record<string, unknown>> =>
  typeof value === "object" && value !== null;
const isInstruments = (value: unknown): value is Instruments =>
  isFields(value) && Array.isArray(value.instruments) && Array.isArray(value.kinds);
const isKept = (value: unknown): value is { readonly id: string } =>
  isFields(value) && typeof value.id === "string";

export const instruments = (): Promise<Instruments> => read("/api/instruments", isInstruments);

/** As the core and the office take it: days that are no whole number go as they were typed, to be found at their field. */
export const sent = (draft: Draft): object => ({
  ...draft,
  check_days: /^\d{1,5}$/.test(draft.check_days) ? Number(draft.check_days) : draft.check_days,
});

export const keepInstrument = (draft: Draft): Promise<{ readonly id: string }> =>
  send("PUT", `/api/instruments/${encodeURIComponent(draft.id)}`, sent(draft), isKept);
