/** What the desk asks the office about recipes and gyles. */
import { NoNetwork, read, send } from "../../../api";
import type { OwnFigure } from "../../../shapes";
import type { Draft, Gyle, GyleLine } from "../../../state/brewing";
import { gyleHere } from "../../../state/gyle";

const isFields = (value: unknown): value is Readonly<Record<string, unknown>> =>
  typeof value === "object" && value !== null;
const isNull = (value: unknown): value is null => value === null;
const isGyles = (value: unknown): value is { readonly gyles: readonly GyleLine[] } =>
  isFields(value) && Array.isArray(value.gyles);
const isGyle = (value: unknown): value is Gyle =>
  isFields(value) && Array.isArray(value.rows) && Array.isArray(value.curve) && Array.isArray(value.runs);
const isKept = (value: unknown): value is { readonly id: string; readonly version: number } =>
  isFields(value) && typeof value.id === "string" && typeof value.version === "number";

export const gyles = async (): Promise<readonly GyleLine[]> => (await read("/api/gyles", isGyles)).gyles;
/** From the office; with no signal from what this phone holds, where it holds some of it. */
export async function gyle(id: string): Promise<Gyle> {
  try {
    return await read(`/api/gyles/${encodeURIComponent(id)}`, isGyle);
  } catch (error) {
    const here = error instanceof NoNetwork ? await gyleHere(id) : null;
    if (!here) throw error;
    return here;
  }
}
export const keepRecipe = (draft: Draft): ReturnType<typeof send<{ id: string; version: number }>> =>
  send("POST", "/api/recipes", draft, isKept);

export type { OwnFigure };

const isFigures = (value: unknown): value is { readonly figures: readonly OwnFigure[] } =>
  isFields(value) && Array.isArray(value.figures);
export const figures = (): Promise<{ readonly figures: readonly OwnFigure[] }> =>
  read("/api/desk/settings", isFigures);
export const giveFigure = (name: string, value: string): Promise<null> =>
  send("PUT", `/api/desk/settings/${encodeURIComponent(name)}`, { value }, isNull);
