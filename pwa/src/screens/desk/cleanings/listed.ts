/** What the desk asks the office about cleans. */
import { read } from "../../../api";
import type { CleaningLine } from "../../../shapes";
import { dayStart } from "../deviations/listed";

export type Clean = CleaningLine;
export type Cleans = { readonly cleanings: readonly Clean[]; readonly next: string | null };
export type Choice = {
  readonly vessel: string;
  readonly procedure: string;
  readonly from: string;
  readonly to: string;
};

const isCleans = (value: unknown): value is Cleans =>
  typeof value === "object" && value !== null && "cleanings" in value && Array.isArray(value.cleanings);

export const cleanings = (choice: Choice, after?: string): Promise<Cleans> =>
  read(address(choice, after ? { after } : {}), isCleans);

/** Where a browser gets the same as a table. */
export const tableOf = (choice: Choice): string => address(choice, { format: "csv" });

function address(choice: Choice, more: Readonly<Record<string, string>>): string {
  const query = new URLSearchParams(more);
  for (const name of ["vessel", "procedure"] as const) if (choice[name]) query.set(name, choice[name]);
  if (choice.from) query.set("from", dayStart(choice.from, 0));
  if (choice.to) query.set("to", dayStart(choice.to, 1));
  return `/api/desk/cleanings?${query}`;
}
