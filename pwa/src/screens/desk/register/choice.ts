/** What the register is asked for: it stands in the page's address, so that Back and a link lead to the same rows. */
import type { RunFilters } from "../../../api";

/** Where a word is empty, anything goes; `shown` is how many rows are wanted. */
export type Choice = Readonly<
  Record<
    "kind" | "vessel" | "procedure" | "status" | "person" | "from" | "to" | "found" | "review" | "sort",
    string
  >
> & { readonly shown: number };

export const PAGE = 50;
/** So many rows at most stand on one page. */
export const MOST_SHOWN = 5000;
/** What stands in an address for "any", where something else is shown unless asked otherwise. */
const ANY = "any";

/** Cleaning, however it ended: a clean that was stopped is the one to be seen. */
export const USUAL: Choice = {
  kind: "cleaning",
  vessel: "",
  procedure: "",
  status: "",
  person: "",
  from: "",
  to: "",
  found: "",
  review: "",
  sort: "-opened",
  shown: PAGE,
};

const NAMES = Object.keys(USUAL) as readonly (keyof Choice)[];
const ASKED = ["kind", "vessel", "procedure", "status", "person", "found", "review", "sort"] as const;
const DAY = /^\d{4}-\d{2}-\d{2}$/;

/** The parts of an address, name and value by turns, as a choice; what it does not say is as usual. */
export function choiceOf(parts: readonly string[]): Choice {
  const choice: Record<string, string | number> = { ...USUAL };
  for (let at = 0; at + 1 < parts.length; at += 2) {
    const [name = "", value = ""] = parts.slice(at, at + 2);
    if (NAMES.some((known) => known === name)) choice[name] = read(name, value);
  }
  return choice as Choice;
}

function read(name: string, value: string): string | number {
  if (name === "shown") return Math.min(MOST_SHOWN, Math.max(PAGE, Math.floor(Number(value)) || PAGE));
  if (value === ANY || ((name === "from" || name === "to") && !DAY.test(value))) return "";
  return value;
}

/** A choice as the parts of an address: only what is not as usual. */
export function partsOf(choice: Choice): readonly string[] {
  return NAMES.filter((name) => choice[name] !== USUAL[name]).flatMap((name) => [
    name,
    choice[name] === "" ? ANY : String(choice[name]),
  ]);
}

/** What the office is asked: all of the filtering and sorting is its own. */
export function filtersOf(choice: Choice): RunFilters {
  const filters: Record<string, string> = {};
  for (const name of ASKED) if (choice[name]) filters[name] = choice[name];
  if (choice.from) filters.from = dayStart(choice.from, 0);
  if (choice.to) filters.to = dayStart(choice.to, 1);
  return filters;
}

/** Midnight here at the start of a day, or of the day after it. */
function dayStart(day: string, later: number): string {
  const at = new Date(`${day}T00:00:00`);
  at.setDate(at.getDate() + later);
  return at.toISOString();
}
