/** What is found against a run, in a few words: what the register counts, and the other kinds of finding. */
import type { RunSummary } from "../../../api";
import { known, t } from "../../../messages";

/** What is counted of a run and filtered by, the gravest first. */
export const COUNTED = [
  "deviations-open",
  "deviations-answered",
  "stop",
  "advise",
  "short",
  "struck",
  "late",
  "clock",
  "paper",
  "unproved",
] as const;

/** Findings that a count already tells. */
const TOLD: ReadonlySet<string> = new Set([
  "bad-time",
  "clock-ahead",
  "clock-offset",
  "finished-early",
  "from-paper",
  "hold-short",
  "person-not-proved",
  "received-late",
]);

function counts(line: RunSummary): Readonly<Record<(typeof COUNTED)[number], number>> {
  return {
    "deviations-open": line.deviations_open,
    "deviations-answered": line.deviations - line.deviations_open,
    struck: line.strikes,
    ...line.tally,
  };
}

/** What is counted of it and the other kinds of finding, in a few words. */
export function found(line: RunSummary): string {
  const counted = counts(line);
  const words = COUNTED.filter((name) => counted[name] > 0).map((name) =>
    t(`count-${name}`, { count: counted[name] }),
  );
  const others = line.findings.filter((code) => !TOLD.has(code));
  const all = [...words, ...others.map((code) => known(`finding-${code}`, code))];
  return all.length === 0 ? t("found-none-short") : all.join(", ");
}
