/** Whether words that somebody typed mean a thing. */
import { known } from "../../messages";
import type { Calculation } from "../../state/sums";

/** As it is compared: no capitals, no accents, small figures as figures. */
const plain = (text: string): string => text.normalize("NFKD").replace(/\p{M}/gu, "").toLowerCase();

/** Every word typed stands in one of the texts. */
export function isMeant(typed: string, ...texts: readonly string[]): boolean {
  const text = plain(texts.join(" "));
  return plain(typed)
    .split(/\s+/)
    .every((word) => text.includes(word));
}

/** A sum is found by its title, its place, what it gives, and what people call it. */
export const meant = (row: Calculation, typed: string): boolean =>
  isMeant(
    typed,
    row.title,
    known(`sums-place-${row.place}`, row.place),
    known(`sum-also-${row.name}`, ""),
    ...row.results.map(([, label]) => label),
  );
