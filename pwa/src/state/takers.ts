/** Where a result of a sum can be put: the entries of open steps, in the open runs this phone holds. */
import { eventsOf } from "../log";
import { recordsOf } from "./fold";
import { askAbout } from "./told";
import type { RunLine } from "./view";

export type Taker = {
  readonly step: string;
  readonly title: string;
  readonly field: string;
  readonly label: string;
  readonly value: string | null;
  readonly unit: string;
};
export type Taking = { readonly line: RunLine; readonly takers: readonly Taker[] };

/** The runs of which some entry takes the result; which entries do is the core's to say. */
export async function takersIn(
  runs: readonly RunLine[],
  calculation: string,
  result: string,
): Promise<readonly Taking[]> {
  const found: Taking[] = [];
  for (const line of runs) {
    const records = recordsOf(line.id, await eventsOf(line.id));
    try {
      const takers = await askAbout<readonly Taker[]>("takers", { ...records, calculation, result });
      if (takers.length > 0) found.push({ line, takers });
    } catch (error) {
      console.error(line.id, error); // a run that cannot be folded takes nothing, and the others may
    }
  }
  return found;
}
