/** The core's calculations as it lists them, and the figures last given to each on this phone. */
import { call } from "../engine";
import { forget, keep, recall } from "../log";

/** One number that is asked for; also a column of a series. */
export type Asked = {
  readonly id: string;
  readonly label: string;
  readonly unit: string;
  readonly min?: string;
  readonly max?: string;
  readonly default?: string;
  readonly optional?: boolean;
  readonly whole?: boolean;
};
export type SumInput = Asked & {
  readonly kind?: "choice" | "date" | "series";
  readonly options?: readonly (readonly [id: string, label: string])[];
  readonly columns?: readonly Asked[];
  readonly rows?: number;
};
export type SumResult = readonly [id: string, label: string, unit: string, places: number | null];
export type Calculation = {
  readonly name: string;
  readonly title: string;
  readonly place: string;
  readonly inputs: readonly SumInput[];
  readonly results: readonly SumResult[];
};

/** What is given to a calculation: texts as keyed, a series as its rows. */
export type Figures = Readonly<Record<string, string | readonly (readonly string[])[]>>;

let listed: Promise<readonly Calculation[]> | null = null;

/** Every calculation, asked of the core once. */
export function calculations(): Promise<readonly Calculation[]> {
  listed ??= call<{ calculations: readonly Calculation[] }>("about", {}).then(
    (about) => about.calculations,
    (error: unknown) => {
      listed = null;
      throw error;
    },
  );
  return listed;
}

const figuresKey = (name: string): string => `sum:${name}`;

/** The figures last given to a calculation on this phone, whoever gave them. */
export const lastFigures = async (name: string): Promise<Figures> =>
  (await recall(figuresKey(name), isFigures)) ?? {};

export const keepFigures = (name: string, figures: Figures): Promise<void> => keep(figuresKey(name), figures);
export const forgetFigures = (name: string): Promise<void> => forget(figuresKey(name));

const isFigures = (value: unknown): value is Figures =>
  typeof value === "object" &&
  value !== null &&
  Object.values(value).every((given) => typeof given === "string" || isRows(given));

const isRows = (value: unknown): boolean =>
  Array.isArray(value) &&
  value.every((row) => Array.isArray(row) && row.every((cell) => typeof cell === "string"));

/** The figures as the core takes them: what has not been given yet is left out, as are empty rows at the end. */
export function given(figures: Figures): Figures {
  const full: [string, string | readonly (readonly string[])[]][] = [];
  for (const [id, value] of Object.entries(figures)) {
    const kept =
      typeof value === "string" ? value : value.slice(0, value.findLastIndex((row) => row.some(Boolean)) + 1);
    if (kept.length > 0) full.push([id, kept]);
  }
  return Object.fromEntries(full);
}
