/** Recipes, sheets and gyles as the core works them out, here or at the office. */
import { call } from "../engine";
import { reference } from "../sync";
import type { RunLine, Working } from "./view";

export type RecipeRow = Readonly<Record<string, string>>;
/** A recipe as it is being entered: figures as typed, rows of the grist and the hops. */
export type Draft = {
  readonly id: string;
  readonly version: number;
  readonly grist: readonly RecipeRow[];
  readonly hops: readonly RecipeRow[];
  readonly [figure: string]: string | number | readonly RecipeRow[];
};
export type TableName = "grist" | "hops";

export type Asked = {
  readonly id: string;
  readonly label: string;
  readonly unit: string;
  readonly kind?: "text" | "choice";
  readonly options?: readonly (readonly [string, string])[];
  readonly default?: string;
  readonly optional?: boolean;
  readonly longest?: number;
  readonly uses?: readonly string[];
};
export type Form = {
  readonly groups: readonly {
    readonly id: string;
    readonly title: string;
    readonly fields: readonly Asked[];
  }[];
  readonly tables: readonly {
    readonly id: TableName;
    readonly title: string;
    readonly row: string;
    readonly columns: readonly Asked[];
  }[];
};

export type SheetLine = {
  readonly id: string;
  readonly stage: string;
  readonly label: string;
  readonly unit: string;
  readonly per: "brew" | "gyle";
  readonly value: string | null;
  readonly working: Working | null;
  readonly fault: string | null;
  /** Said elsewhere on the sheet. */
  readonly quiet?: boolean;
};
export type Addition = {
  readonly use: string;
  readonly minutes: string;
  readonly line: string;
  readonly label: string;
};
export type Sheet = {
  readonly name: string;
  readonly brews: string;
  readonly stages: readonly (readonly [string, string])[];
  readonly lines: readonly SheetLine[];
  readonly additions: readonly Addition[];
  readonly faults: readonly { readonly field: string; readonly text: string }[];
};

export type SiteFigure = {
  readonly id: string;
  readonly label: string;
  readonly unit: string;
  readonly value: string;
  readonly usual: string;
  readonly fault: string | null;
};

export type Named = { readonly id: string; readonly version: number; readonly name: string };
export type GyleLine = {
  readonly id: string;
  readonly recipe: Named | null;
  readonly begun: string;
  readonly last: string;
  readonly runs: number;
  readonly open: number;
  readonly vessels: readonly string[];
};
export type Actual = {
  readonly brew: number;
  readonly value: string;
  readonly difference: string | null;
  readonly run: string;
};
export type Planned = {
  readonly id: string;
  readonly stage: string;
  readonly label: string;
  readonly unit: string;
  readonly planned: string | null;
  readonly actual: readonly Actual[];
};
export type Site = { readonly setting: string; readonly value: string };
export type Result = {
  readonly id: string;
  readonly label: string;
  readonly brew: number;
  readonly value: string;
  readonly unit: string;
  readonly working: Working;
  readonly site: Site | null;
};
export type Correction = {
  readonly id: string;
  readonly label: string;
  readonly brew: number;
  readonly working: Working;
};
export type Point = {
  readonly time: string;
  readonly hours: string;
  readonly gravity: string | null;
  readonly temperature: string | null;
  readonly run: string;
};
export type Place = readonly [number, number];
export type AxisMark = { readonly at: number; readonly text: string };
export type Drawing = {
  readonly days: readonly AxisMark[];
  readonly gravity: readonly AxisMark[];
  readonly temperature: readonly AxisMark[];
  readonly lines: readonly {
    readonly id: "now" | "before";
    readonly gravity: readonly Place[];
    readonly temperature: readonly Place[];
  }[];
  readonly forecast: { readonly end: number; readonly low: number; readonly high: number } | null;
  readonly planned: number | null;
};
export type Move = {
  readonly title: string;
  readonly run: string;
  readonly step: string;
  readonly person: string;
  readonly time: string;
  readonly from: readonly string[];
  readonly to: string | null;
  /** The other gyle of a blend. */
  readonly gyle: string | null;
  readonly out: string | null;
  readonly in: string | null;
  readonly unit: string;
  readonly loss: string | null;
  readonly loss_pct: string | null;
  readonly lost: string;
  readonly lost_pct: string | null;
  readonly working: Working | null;
};
export type Gyle = {
  readonly id: string;
  readonly recipe: Named | null;
  readonly begun: string | null;
  readonly runs: readonly RunLine[];
  readonly sheet: Sheet | null;
  readonly brews: number;
  readonly rows: readonly Planned[];
  readonly results: readonly Result[];
  readonly corrections: readonly Correction[];
  readonly tun: { readonly working: Working; readonly site: readonly Site[] } | null;
  readonly curve: readonly Point[];
  readonly forecast: Working | null;
  readonly chart: Drawing | null;
  readonly moves: { readonly rows: readonly Move[]; readonly account: Working | null };
  readonly last: {
    readonly id: string;
    readonly rows: readonly Planned[];
    readonly results: readonly Result[];
  } | null;
  /** Worked out on this phone from what it holds. */
  readonly here?: true;
};

export const siteFigures = (settings: object): Promise<readonly SiteFigure[]> =>
  call<readonly SiteFigure[]>("site-figures", { settings });
export const recipeForm = (): Promise<Form> => call<Form>("recipe-form", {});
export const sheetOf = (recipe: object): Promise<Sheet> =>
  call<Sheet>("brew-sheet", { recipe, settings: reference.peek()?.settings ?? {} });
