/** The run before this one, of the same procedure on the same vessel: its figures stand beside today's. */
import { signal } from "@preact/signals";
import { useEffect } from "preact/hooks";
import { eventsOf, recall } from "../log";
import { lines } from "./board";
import { foldRun } from "./fold";
import { isView, type Session } from "./run";
import type { FieldView, RunView } from "./view";

type Before = { readonly of: string; readonly view: RunView | null };

const before = signal<Before | null>(null);

/** What was recorded in this field last time, when this phone knows. */
export function lastTime(run: Session, step: string, field: string): FieldView | null {
  const view = before.value?.of === run.id ? before.value.view : null;
  const held = view?.steps[step]?.entries[field];
  return held?.status === "live" ? held : null;
}

/** Looks the run before up, once for each run that is opened. */
export function useBefore(run: Session): void {
  useEffect(() => {
    if (!run.live || before.peek()?.of === run.id) return;
    before.value = { of: run.id, view: null };
    read(run)
      .then((view) => {
        if (before.peek()?.of === run.id) before.value = { of: run.id, view };
      })
      .catch(console.error);
  }, [run.id, run.live]);
}

async function read(run: Session): Promise<RunView | null> {
  const opened = run.view.opened?.time ?? "";
  const line = lines
    .peek()
    .find(
      ({ id, procedure: name, vessel, status, opened: mark }) =>
        id !== run.id &&
        name === run.view.procedure &&
        vessel === run.view.vessel &&
        status === "finished" &&
        (mark?.time ?? "") < opened,
    );
  if (!line) return null;
  const kept = await recall(`view:${line.id}`, isView);
  if (kept) return kept;
  return foldRun(line.id, await eventsOf(line.id));
}
