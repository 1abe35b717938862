/** Which cautions the person on this phone is shown at a step, and how: in full, as states to be seen, still so, or met. */
import { act } from "./act";
import { caution } from "./known";
import { look, lookAt, whileMeeting } from "./looks";
import type { Caution } from "./view";

export type Shown = { readonly caution: Caution; readonly show: "full" | "state" | "still" };
export type StepCautions = { readonly shown: readonly Shown[]; readonly all: readonly Caution[] };

/** The cautions still to be met at a step, and all of them; null while the core is being asked. */
export function cautionsAt(step: string): StepCautions | null {
  const rows = lookAt(step)?.cautions;
  if (!rows) return null;
  const known = rows.flatMap(({ caution: id, show }) => {
    const text = caution(id);
    return text ? [{ caution: text, show }] : [];
  });
  const shown = known.filter((row): row is Shown => row.show !== "met");
  return { shown, all: known.map((row) => row.caution) };
}

/**
 * The cautions of one screen: those of the first hazard group to be read in full, else all states to be seen; none when
 * all of them are still so.
 */
export function nextScreen(shown: readonly Shown[]): readonly Shown[] {
  const first = shown.find((row) => row.show === "full");
  if (!first) return shown.some((row) => row.show === "state") ? shown : [];
  return shown.filter((row) => row.show === "full" && row.caution.group === first.caution.group);
}

/** Records that the person has met these cautions; throws what was refused of it, in words. */
export async function meet(step: string, screen: readonly Shown[]): Promise<void> {
  await whileMeeting(async () => {
    for (const row of screen) {
      const answer = await act("caution", { step, caution: row.caution.id });
      if (!answer.ok) throw new Error(answer.text);
    }
  });
  await look(step);
}
