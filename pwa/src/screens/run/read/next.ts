/** The one thing to do next at a step, read off what the core says the step waits for. No rule is made here. */
import type { Entry, Step, StepStatus, StepView, Wait } from "../../../state/view";

export type Next =
  | { readonly kind: "go"; readonly step: string; readonly text: string }
  | { readonly kind: "enter"; readonly entry: Entry }
  | { readonly kind: "again"; readonly entry: Entry }
  | { readonly kind: "settle"; readonly entry: Entry }
  | { readonly kind: "start-hold"; readonly seconds: number }
  | { readonly kind: "hold" }
  | { readonly kind: "sign" }
  | { readonly kind: "done" }
  | { readonly kind: "passed" };

export const passed = (view: StepView | undefined): boolean =>
  view?.status === "done" || view?.status === "skipped";

/** How a step looks in a list: one that lacks nothing but its cautions can be begun. */
export function looks(view: StepView): StepStatus {
  const ready = view.status === "shut" && view.waits.every((wait) => wait.code !== "step");
  return ready ? "open" : view.status;
}

/** `elapsed`: the running hold has lasted as long as it must by this phone's clock. */
export function nextOf(step: Step, view: StepView, elapsed: boolean): Next {
  if (passed(view)) return { kind: "passed" };
  const before = view.waits.find((wait) => wait.code === "step");
  if (before?.step) return { kind: "go", step: before.step, text: before.text };
  if (view.waits.some((wait) => wait.code === "second")) return { kind: "sign" };
  if (view.hold?.state === "idle" && view.waits.some((wait) => wait.code === "hold"))
    return { kind: "start-hold", seconds: view.hold.seconds };
  const entry = view.waits.flatMap((wait) => entryWait(step, wait))[0];
  if (entry) return entry;
  if (view.waits.some((wait) => wait.code === "hold") && !elapsed) return { kind: "hold" };
  return { kind: "done" };
}

function entryWait(step: Step, wait: Wait): Next[] {
  const entry = step.entries?.find((row) => row.id === wait.field);
  if (!entry) return [];
  if (wait.code === "contested") return [{ kind: "settle", entry }];
  if (wait.code === "stop") return [{ kind: "again", entry }];
  return wait.code === "entry" ? [{ kind: "enter", entry }] : [];
}
