/**
 * The run on the screen: folded by the core, shown from its view.
 *
 * The last view is kept on the phone, so a run can be read before the core is up; `live` says that the core holds
 * the run and that it can be acted on. Records made elsewhere (another tab, another phone) are folded in as they come.
 */
import { effect, signal } from "@preact/signals";
import { call, EngineError, generation } from "../engine";
import { admin, eventsOf, keep, onChange, recall, type StoredEvent } from "../log";
import { reference } from "../sync";
import { foldRun } from "./fold";
import { procedure } from "./known";
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

let wanted: string | null = null;
let folded = new Set<string>();
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
  if (session.value?.id !== id) session.value = null;
  missing.value = null;
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
  const view = await foldRun(id, events);
  folded = new Set(events.map((event) => event.id));
  if (wanted === id) show(id, view, true);
}

/** Folds new records into the open run; only the steps they touch come back. */
export async function take(
  id: string,
  more: { events?: StoredEvent[]; admin?: StoredEvent[] },
): Promise<void> {
  const held = session.value;
  if (held?.id !== id) return;
  try {
    const part = await call<RunView>("add", { run: id, ...more });
    for (const event of more.events ?? []) folded.add(event.id);
    show(id, { ...part, steps: { ...held.view.steps, ...part.steps } }, true);
  } catch (error) {
    if (!isLost(error)) throw error;
    await fold(id);
  }
}

/** The core no longer holds the run: it was restarted, or other runs have taken its place. */
export function isLost(error: unknown): boolean {
  return error instanceof EngineError && (error.code === "not-open" || error.code === "engine-lost");
}

/** Folds the run again after `isLost`. */
export const refold = (id: string): Promise<void> => fold(id);

function show(id: string, view: RunView, live: boolean): void {
  session.value = { id, live, view, procedure: procedure(view.procedure, view.version) ?? null };
  if (live) void keep(`view:${id}`, view).catch(console.error);
}

export function isView(value: unknown): value is RunView {
  return typeof value === "object" && value !== null && "steps" in value && "order" in value;
}

/** Follows the log, the core and the reference for as long as the app runs. */
export function followRun(): void {
  onChange(({ subjects }) => {
    const absent = missing.peek()?.id;
    if (absent && subjects.includes(`/runs/${absent}`)) void openRun(absent).catch(console.error);
    const id = wanted;
    if (!id) return;
    if (subjects.includes(`/runs/${id}`)) void inTurn(() => takeNew(id)).catch(console.error);
    if (subjects.includes("/admin"))
      void inTurn(async () => take(id, { admin: await admin() })).catch(console.error);
  });
  let boot = generation.peek();
  effect(() => {
    if (generation.value === boot) return;
    boot = generation.value;
    const id = wanted;
    if (id && session.peek()?.live) void inTurn(() => fold(id)).catch(console.error);
  });
  effect(() => {
    if (reference.value && wanted && session.peek()?.procedure === null) {
      const id = wanted;
      void inTurn(() => fold(id)).catch(console.error);
    }
  });
}

async function takeNew(id: string): Promise<void> {
  const events = (await eventsOf(id)).filter((event) => !folded.has(event.id));
  if (events.length > 0) await take(id, { events });
}
