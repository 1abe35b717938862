/**
 * One loop that pushes and pulls, in one tab at a time.
 *
 *   startSync() → stop();  syncNow() → Promise<void>   resolves after one attempt
 *   syncState: Signal<SyncState>
 *     {waiting: null until the log is read, refused, lastReached: ms | null, running, trouble: TroubleKind | null, doubt: "gone-back" | "forked" | null,
 *      storage: "persistent" | "refused" | "unknown", offset: ms the server is ahead}
 *   reference: Signal<Reference | null>           the last one held; kept when the server wants a newer core
 *   fetchRun(run) → Promise<void>                 asks for the whole run, also of one closed long ago
 *   refused() → Promise<Refusal[]>                what the server set aside, and why
 *   partialRuns() → Promise<string[]>             runs of which this phone holds only a part
 */

export { reference } from "../api";
export { type Refusal, refused } from "../log";
export { partialRuns } from "./compare";
export type { Doubt, Heads } from "./heads";
export { fetchRun, startSync, syncNow } from "./loop";
export { type SyncState, syncState, type TroubleKind } from "./state";
