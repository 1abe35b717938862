/** Views of the register under a name that a person gave them: kept on this device. */
import { forget, keep, keptUnder } from "../log";

export type SavedView = { readonly name: string; readonly parts: readonly string[] };

const PREFIX = "register-view:";
const isView = (value: unknown): value is SavedView =>
  typeof value === "object" && value !== null && "name" in value && "parts" in value;

/** In order of their names. */
export async function savedViews(): Promise<SavedView[]> {
  return (await keptUnder(PREFIX, isView)).sort((a, b) => a.name.localeCompare(b.name));
}

/** One of the same name is replaced. */
export const saveView = (view: SavedView): Promise<void> => keep(PREFIX + view.name, view);
export const forgetView = (name: string): Promise<void> => forget(PREFIX + name);
