/** What whoever comes next has to know: what this phone's records say was noticed of late. */
import { useEffect, useState } from "preact/hooks";
import { ofType } from "../log";
import { lines } from "./board";

export const SHIFT_MS = 12 * 3_600_000;

/** Words somebody left in a run. */
export type Noticed = {
  readonly event: string;
  readonly run: string;
  readonly time: number;
  readonly person: string;
  readonly text: string;
};

/** Notes and deviations since a moment [ms], the newest first. */
async function noticedSince(since: number): Promise<readonly Noticed[]> {
  const events = (await Promise.all([ofType("note.added"), ofType("deviation.raised")])).flat();
  return events
    .map(({ id, subject, time, person, data }) => ({
      event: id,
      run: subject.replace("/runs/", ""),
      time: Date.parse(time),
      person,
      text: String(data.text ?? ""),
    }))
    .filter(({ time, text }) => time >= since && text !== "")
    .sort((one, other) => other.time - one.time);
}

/** The same, read again when a run changes; null until it is read. */
export function useNoticed(since: number): readonly Noticed[] | null {
  const [rows, setRows] = useState<readonly Noticed[] | null>(null);
  const runs = lines.value;
  useEffect(() => {
    noticedSince(since).then(setRows, reportError);
  }, [since, runs]);
  return rows;
}
