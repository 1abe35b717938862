/** A gyle with no signal: the core on this phone works its page out from the records that the phone holds. */
import { eventsOf } from "../log";
import { lines } from "./board";
import type { Gyle, Point } from "./brewing";
import { recordsOf } from "./fold";
import { everyVessel, recipeCard } from "./known";
import { askAbout } from "./told";
import type { RecipeVersion, RunLine } from "./view";

type Worked = Omit<Gyle, "id" | "recipe" | "begun" | "runs" | "last">;

/** The gyle as far as this phone knows it, the last brew beside it; null when it holds nothing of it. */
export async function gyleHere(id: string): Promise<Gyle | null> {
  const runs = runsOf(id);
  const first = runs[0];
  if (!first) return null;
  const by = recipeOf(runs);
  const earlier = by && lineBefore(by, id, first.opened?.time ?? "");
  const last = earlier?.gyle ? await pageOf(earlier.gyle, []) : null;
  return { ...(await pageOf(id, last?.curve ?? [])), last, here: true };
}

async function pageOf(id: string, before: readonly Point[]): Promise<Gyle> {
  const runs = runsOf(id);
  const by = recipeOf(runs);
  const recipe = by ? (recipeCard(by.id, by.version) ?? null) : null;
  const records = await recordsOfAll(runs);
  const elsewhere = await recordsOfAll(lines.peek().filter((line) => line.gyle !== id && drew(line, id)));
  const place = { gyle: id, vessels: everyVessel(), elsewhere };
  const worked = await askAbout<Worked>("gyle", { recipe, runs: records, before, place });
  return {
    ...worked,
    id,
    recipe: by && { ...by, name: recipe?.name ?? by.id },
    begun: runs[0]?.opened?.time ?? null,
    runs,
    last: null,
  };
}

async function recordsOfAll(runs: readonly RunLine[]) {
  const records = [];
  for (const line of runs) records.push(recordsOf(line.id, await eventsOf(line.id)));
  return records;
}

/** Whether a run took beer of this gyle into another, as its summary says. */
const drew = (line: RunLine, gyle: string): boolean =>
  line.life.some((row: { what?: string; gyle?: string | null }) => row.what === "drawn" && row.gyle === gyle);

/** In the order they were opened, as the server takes them. */
const runsOf = (gyle: string): readonly RunLine[] =>
  lines
    .peek()
    .filter((line) => line.gyle === gyle)
    .reverse();

const recipeOf = (runs: readonly RunLine[]): RecipeVersion | null =>
  runs.find((line) => line.recipe)?.recipe ?? null;

/** The last run by the recipe, any version, that was opened for another gyle before this one was begun. */
const lineBefore = (by: RecipeVersion, gyle: string, begun: string): RunLine | undefined =>
  lines
    .peek()
    .find(
      (line) =>
        line.recipe?.id === by.id && line.gyle && line.gyle !== gyle && (line.opened?.time ?? "") < begun,
    );
