import { type Signal, signal } from "@preact/signals";
import { headNow, type Leap, onChange, refused, waiting } from "../log";

/**
 * What keeps this phone from the server, or null:
 * "no-network" unreachable; "enrol" the credential is not taken any more; "busy" the server asked for time;
 * "turned-down" it refused the whole exchange; "old-core" the reference needs a newer version of the app;
 * "mismatch" a run differs from the server's even after fetching it; "storage" this phone could not write.
 */
export type TroubleKind =
  | "no-network"
  | "enrol"
  | "busy"
  | "turned-down"
  | "old-core"
  | "mismatch"
  | "storage";

export type SyncState = {
  /** records not yet with the server; null until this phone's log has been read */
  readonly waiting: number | null;
  readonly refused: number;
  /** waiting records that the server could not take three times over: they are tried after the others */
  readonly undigested: readonly string[];
  /** this phone's time at the last answer */
  readonly lastReached: number | null;
  readonly running: boolean;
  readonly trouble: TroubleKind | null;
  /** the office's log is not the one that this phone was shown before */
  readonly doubt: "gone-back" | "forked" | null;
  readonly storage: "persistent" | "refused" | "unknown";
  /** milliseconds the server's clock is ahead of this phone's */
  readonly offset: number;
  /** when, by the server, it came to light that this phone's clock had run ahead of it, and by how much [ms] */
  readonly leapt: Leap | undefined;
  /** records of other breweries, which wait until the phone is enrolled there again */
  readonly laidBy: number;
};

export const syncState: Signal<SyncState> = signal({
  waiting: null,
  refused: 0,
  undigested: [],
  lastReached: null,
  running: false,
  trouble: null,
  doubt: null,
  storage: "unknown",
  offset: 0,
  leapt: undefined,
  laidBy: 0,
});

export function show(change: Partial<SyncState>): void {
  syncState.value = { ...syncState.peek(), ...change };
}

/** Counts what waits, now and whenever the log changes in any tab. */
export async function watchLog(): Promise<() => void> {
  const stop = onChange(() => count().catch(reportError));
  await count();
  return stop;
}

async function count(): Promise<void> {
  const [queued, aside, head] = await Promise.all([waiting(), refused(), headNow()]);
  show({
    waiting: queued,
    refused: aside.length,
    lastReached: head?.reached ?? null,
    offset: head?.offset ?? 0,
    leapt: head?.leapt,
    laidBy: head?.laidBy ?? 0,
  });
}

/** Asks the browser to keep what is stored here when space runs short. */
export async function askToPersist(): Promise<void> {
  if (!navigator.storage?.persist) return;
  const kept = (await navigator.storage.persisted()) || (await navigator.storage.persist());
  show({ storage: kept ? "persistent" : "refused" });
}
