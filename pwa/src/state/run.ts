/**
 * The run on the screen: folded by the core, shown from its view.
 *
 * The last view is kept on the phone, so a run can be read before the core is up; `live` says that the core holds
 * the run and that it can be acted on. Records made elsewhere (another tab, another phone) are folded in as they come.
 */
import { effect, signal } from "@preact/signals";
import { call, EngineError, generation } from "../engine";
import { eventsOf, type JsonObject, keep, NotSaved, onChange, recall, type StoredEvent } from "../log";
import { reference } from "../sync";
import { askTwice, hasEnded } from "./core";
import { foldRun } from "./fold";
import { procedure } from "./known";
import { askAbout } from "./told";
import type { Procedure, RunView } from "./view";

export type Session = {
  readonly id: string;
  readonly live: boolean;
  readonly view: RunView;
  readonly procedure: Procedure | null;
  /** A draft is being looked at: nothing is ever recorded. */
  readonly rehearsal?: true;
};
export type Missing = { readonly id: string };

export const session = signal<Session | null>(null);
/** Set when this phone holds nothing of the run that was asked for. */
export const missing = signal<Missing | null>(null);
/** The run that the core could not fold: what stands of it on the screen, if anything, is older than its records. */
export const unfolded = signal<string | null>(null);

/** So often a run is folded anew for a core that ended, until it is opened again or a record of it is taken. */
const MOST_ANEW = 5;

let wanted: string | null = null;
let folded = new Set<string>();
let anew = 0;
let queue: Promise<unknown> = Promise.resolve();

/** Does one thing at a time to the open run, in the order asked. */
export function inTurn<T>(work: () => Promise<T>): Promise<T> {
  const next = queue.then(work, work);
  queue = next.catch(() => undefined);
  return next;
}

export async function openRun(id: string): Promise<void> {
  if (wanted === id && session.value?.live) return;
  wanted = id;
  anew = 0;
  if (session.value?.id !== id) session.value = null;
  missing.value = null;
  unfolded.value = null;
  await showKept(id);
  await inTurn(() => fold(id));
}

export function closeRun(): void {
  wanted = null;
  session.value = null;
}

async function showKept(id: string): Promise<void> {
  const view = await recall(`view:${id}`, isView);
  if (view && wanted === id && session.value === null) show(id, view, false);
}

/** Folds the whole run anew: on opening it, and when the core has been restarted under it. */
async function fold(id: string): Promise<void> {
  if (wanted !== id) return;
  const events = await eventsOf(id);
  if (events.length === 0) {
    missing.value = { id };
    return;
  }
  folded = new Set(events.map((event) => event.id));
  try {
    const view = await askTwice(() => foldRun(id, events));
    if (wanted === id) show(id, view, true);
  } catch (error) {
    if (error instanceof NotSaved) throw error;
    leaveUnfolded(id, error);
  }
}

/** What is shown stays and is said to be old. It is not live, so nothing asks the core about it again by itself. */
export function leaveUnfolded(id: string, error: unknown): void {
  console.error(id, error);
  if (wanted !== id) return;
  const held = session.peek();
  if (held) session.value = { ...held, live: false };
  unfolded.value = id;
}

/** Folds new records into the open run; only the steps they touch come back. */
async function take(id: string, more: { events?: StoredEvent[]; admin?: [] }): Promise<void> {
  if (session.value?.id !== id) return;
  try {
    const { run } = await askAbout<{ readonly run: RunView }>("taken", { run: id, ...more, now: Date.now() });
    takeFolded(id, run, more.events?.map((event) => event.id) ?? []);
  } catch (error) {
    if (!(error instanceof EngineError)) throw error;
    await fold(id);
  }
}

/** Shows what the core made of records that it has folded already: the part that changed. */
export function takeFolded(id: string, part: RunView, events: readonly string[]): void {
  const held = session.value;
  if (held?.id !== id) return;
  for (const event of events) folded.add(event);
  anew = 0;
  show(id, { ...part, steps: { ...held.view.steps, ...part.steps } }, true);
}

/** Folds in a record that is saved. Whatever goes wrong from here on it stays saved, and nobody may be told otherwise. */
export async function takeSaved(id: string, event: StoredEvent): Promise<void> {
  try {
    await take(id, { events: [event] });
  } catch (error) {
    leaveUnfolded(id, error);
  }
}

/** The core no longer holds the run: it was restarted, or other runs have taken its place. */
export function isLost(error: unknown): boolean {
  return hasEnded(error) || (error instanceof EngineError && error.code === "not-open");
}

/** Folds the run again after `isLost`; one under which the core ends over and over is left as it stands. */
export async function refold(id: string): Promise<void> {
  anew += 1;
  if (anew <= MOST_ANEW) await fold(id);
  else leaveUnfolded(id, "the core ended under it again and again");
}

/** Asks the core about the open run, folding the run again where the core has lost it. */
export async function ask<T>(name: string, given: JsonObject): Promise<T> {
  const id = session.peek()?.id;
  if (!id) throw new Error("no run is open");
  return again(id, () => call<T>(name, { ...given, run: id }));
}

export async function again<T>(id: string, work: () => Promise<T>): Promise<T> {
  try {
    return await work();
  } catch (error) {
    if (!isLost(error)) throw error;
    await refold(id);
    return work();
  }
}

function show(id: string, view: RunView, live: boolean): void {
  session.value = { id, live, view, procedure: procedure(view.procedure, view.version) ?? null };
  if (!live) return;
  unfolded.value = null;
  keepSoon(id, view);
}

/** A view is kept for reading before the core is up; of taps in quick succession the last alone: it is far larger than one. */
const PAUSE_MS = 800;
let keeping: { readonly timer: ReturnType<typeof setTimeout>; readonly id: string } | null = null;
let kept = 0;

function keepSoon(id: string, view: RunView): void {
  if (keeping?.id === id) clearTimeout(keeping.timer);
  const wait = Math.max(0, kept + PAUSE_MS - Date.now());
  const timer = setTimeout(() => {
    kept = Date.now();
    keep(`view:${id}`, view).catch(console.error);
  }, wait);
  keeping = { timer, id };
}

export function isView(value: unknown): value is RunView {
  return typeof value === "object" && value !== null && "steps" in value && "order" in value;
}

/** Follows the log, the core and the reference for as long as the app runs. */
export function followRun(): void {
  onChange(({ subjects, events, again }) => {
    // a view from before is not kept any more
    if (again && keeping) clearTimeout(keeping.timer);
    const absent = missing.peek()?.id;
    if (absent && subjects.includes(`/runs/${absent}`)) void openRun(absent).catch(reportError);
    const id = wanted;
    if (!id) return;
    if (subjects.includes(`/runs/${id}`))
      void inTurn(() => (again ? fold(id) : takeNew(id, events))).catch(console.error);
    if (subjects.includes("/admin")) void inTurn(() => take(id, { admin: [] })).catch(console.error);
  });
  let boot = generation.peek();
  effect(() => {
    if (generation.value === boot) return;
    boot = generation.value;
    const id = wanted;
    if (id && session.peek()?.live) void inTurn(() => refold(id)).catch(console.error);
  });
  effect(() => {
    if (reference.value && wanted && session.peek()?.procedure === null) {
      const id = wanted;
      void inTurn(() => fold(id)).catch(console.error);
    }
  });
}

async function takeNew(id: string, made?: readonly string[]): Promise<void> {
  if (made?.every((event) => folded.has(event))) return;
  const events = (await eventsOf(id)).filter((event) => !folded.has(event.id));
  if (events.length > 0) await (session.peek() ? take(id, { events }) : fold(id));
}
