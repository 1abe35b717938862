/** Recipes, sheets and gyles as the core works them out, here or at the office. */
import { call } from "../engine";
import type {
  Chart,
  Curve,
  FigureOfSite,
  GyleBefore,
  GyleResult,
  GyleView,
  Moves,
  NamedRecipe,
  RecipeForm,
  Sheet,
  SiteSetting,
} from "../shapes";
import { reference } from "../sync";
import type { RunLine } from "./view";

export type {
  Actual,
  Addition,
  Asked,
  AxisMark,
  Correction,
  GyleLine,
  Move,
  Planned,
  Point,
  Sheet,
  SheetLine,
} from "../shapes";

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

export type Form = RecipeForm;
export type SiteFigure = FigureOfSite;
export type Named = NamedRecipe;
export type Site = SiteSetting;
export type Result = GyleResult;
export type Drawing = Chart;
export type Place = Curve["gravity"][number];

export type Gyle = Omit<GyleView, "moves"> & {
  readonly id: string;
  readonly recipe: Named | null;
  readonly begun: string | null;
  readonly runs: readonly RunLine[];
  readonly moves: Moves;
  readonly last: Pick<GyleBefore, "id" | "rows" | "results"> | null;
  /** Worked out on this phone from what it holds. */
  readonly here?: true;
};

export const siteFigures = (settings: object): Promise<readonly SiteFigure[]> =>
  call<readonly SiteFigure[]>("site-figures", { settings });
export const recipeForm = (): Promise<Form> => call<Form>("recipe-form", {});
export const sheetOf = (recipe: object): Promise<Sheet> =>
  call<Sheet>("brew-sheet", { recipe, settings: reference.peek()?.settings ?? {} });
