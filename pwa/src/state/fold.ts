/** Handing a run to the core: its records, the procedure they name, and what the core needs to judge them. */
import type { StoredEvent } from "../log";
import { cautions, procedure } from "./known";
import { askAbout } from "./told";
import type { Procedure, RunView } from "./view";

/** A run as the core takes it. */
export const recordsOf = (id: string, events: readonly StoredEvent[]) => ({
  run: id,
  procedure: procedureOf(events),
  events,
});

/** Folds a run from its records; the core keeps it open until others take its place. */
export async function foldRun(id: string, events: readonly StoredEvent[]): Promise<RunView> {
  return askAbout<RunView>("open", {
    ...recordsOf(id, events),
    cautions: cautions().map(({ id, version }) => ({ id, version })),
  });
}

function procedureOf(events: readonly StoredEvent[]): Procedure | null {
  const data = events.find((event) => event.type === "run.opened")?.data;
  if (typeof data?.procedure !== "string" || typeof data.version !== "number") return null;
  return procedure(data.procedure, data.version) ?? null;
}
