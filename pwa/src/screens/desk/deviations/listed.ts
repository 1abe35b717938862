/** What the desk asks the office about deviations. */
import { read } from "../../../api";
import type { DeviationLine } from "../../../shapes";

export type Deviation = DeviationLine;
export type State = Deviation["state"];
export const STATES: readonly State[] = ["open", "pending", "closed"];
export type Deviations = {
  readonly counts: Readonly<Record<State, number>>;
  readonly deviations: readonly Deviation[];
  readonly next: string | null;
};
export type Choice = {
  readonly state: string;
  readonly vessel: string;
  readonly procedure: string;
  readonly from: string;
  readonly to: string;
};

const isDeviations = (value: unknown): value is Deviations =>
  typeof value === "object" && value !== null && "deviations" in value && Array.isArray(value.deviations);

export function deviations(choice: Choice, after?: string): Promise<Deviations> {
  const query = new URLSearchParams();
  for (const name of ["state", "vessel", "procedure"] as const)
    if (choice[name]) query.set(name, choice[name]);
  if (choice.from) query.set("from", dayStart(choice.from, 0));
  if (choice.to) query.set("to", dayStart(choice.to, 1));
  if (after) query.set("after", after);
  return read(`/api/desk/deviations?${query}`, isDeviations);
}

/** Midnight here at the start of a day, or of the day after it. */
export function dayStart(day: string, later: number): string {
  const at = new Date(`${day}T00:00:00`);
  at.setDate(at.getDate() + later);
  return at.toISOString();
}

/** One deviation is told apart from every other by these. */
export const keyOf = (row: Deviation): string => `${row.run} ${row.event} ${row.trouble ?? ""}`;
