/** One run as the office holds it; where the office cannot be reached, as this phone does. */
import { run as fetchFromOffice, NoNetwork } from "../api";
import { digest, eventsOf, type StoredEvent } from "../log";
import { openRun, session } from "./run";
import type { RunView } from "./view";

export type Held = {
  readonly run: RunView;
  readonly events: readonly StoredEvent[];
  readonly digest: string;
  /** False when only this phone was asked. */
  readonly office: boolean;
};

export async function recordOf(id: string): Promise<Held> {
  try {
    const { run, events } = await fetchFromOffice(id);
    return { run, events: inOrder(events), digest: run.digest, office: true };
  } catch (error) {
    if (!(error instanceof NoNetwork)) throw error;
    const here = await hereOf(id);
    if (!here) throw error;
    return here;
  }
}

async function hereOf(id: string): Promise<Held | null> {
  await openRun(id);
  const held = session.peek();
  if (held?.id !== id || !held.live) return null;
  return { run: held.view, events: await eventsOf(id), digest: await digest(id), office: false };
}

/** A story is told in the order things happened, as the fold takes them; the office sends them as they came in. */
function inOrder(events: readonly StoredEvent[]): StoredEvent[] {
  const before = (a: StoredEvent, b: StoredEvent) =>
    a.hlc < b.hlc || (a.hlc === b.hlc && a.id < b.id) ? -1 : 1;
  return [...events].sort(before);
}
