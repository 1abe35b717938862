/** Every vessel and every run as far as this phone knows, for the plant board and the home screen. */
import { computed, effect, signal } from "@preact/signals";
import { call, engineState, startEngine } from "../engine";
import { device } from "../identity";
import { admin, eventsOf, keep, NotSaved, onChange, recall, runs, type StoredEvent } from "../log";
import { reference } from "../sync";
import { now } from "./clock";
import { askTwice, hasEnded } from "./core";
import { recordsOf } from "./fold";
import { procedure, vesselCards } from "./known";
import type { RunLine, Trouble, VesselView } from "./view";

/** `whole`: folded with its procedure at hand. One that was not is read again when the reference comes. */
type KeptLine = { readonly events: number; readonly whole: boolean; readonly line: RunLine };

type KeptBoard = { readonly known: number; readonly rows: readonly VesselView[] };
type Doubts = { readonly doubts: readonly Trouble[] };

export const lines = signal<readonly RunLine[]>([]);
export const board = signal<readonly VesselView[] | null>(null);
export const openLines = computed(() => lines.value.filter((line) => line.status === "open"));

/** A run that the core cannot fold, named by its opening alone. Its last good line, if it has one, stays in `lines`. */
export type Fault = { readonly run: string; readonly vessel: string | null; readonly title: string };
export const faults = signal<readonly Fault[]>([]);

/** Set while the board cannot be worked out anew: when it last was [ms], if ever. */
export const stale = signal<{ readonly known: number | null } | null>(null);

const doubted = signal<readonly Trouble[]>([]);

type Failed = { readonly fault: Fault; readonly events: number; readonly by: unknown };

const held = new Map<string, KeptLine>();
/** Not tried again before there are other records or another reference, so that one run cannot end the core for ever. */
const failed = new Map<string, Failed>();
let endedBy: { readonly lines: unknown; readonly by: unknown } | null = null;
let known: number | null = null;
let turn: Promise<void> = Promise.resolve();

export const linesOf = (vessel: string): readonly RunLine[] =>
  lines.value.filter((line) => line.vessel === vessel);

/** Shows the board as last known, then keeps it true as records arrive and time passes. */
export async function followBoard(): Promise<void> {
  const last = await recall("board", isBoard);
  board.value = last?.rows ?? null;
  known = last?.known ?? null;
  for (const line of (await recall("lives", isLines)) ?? []) held.set(line.line.id, line);
  publish();
  onChange(({ subjects }) => {
    const ids = subjects.filter((subject) => subject.startsWith("/runs/")).map((subject) => subject.slice(6));
    if (ids.length > 0) inTurn(() => read(ids));
  });
  effect(() => {
    if (engineState.value !== "ready" || !reference.value) return;
    inTurn(async () => read((await runs()).map(({ run }) => run)));
  });
  effect(() => {
    if (now.value && reference.value && engineState.value === "ready") inTurn(stand);
  });
}

function inTurn(work: () => Promise<void>): void {
  turn = turn.then(work).catch(console.error);
}

async function read(ids: readonly string[]): Promise<void> {
  if (engineState.peek() !== "ready") return;
  let changed = false;
  for (const id of ids) changed = (await readLine(id)) || changed;
  if (changed) {
    publish();
    await keep("lives", [...held.values()]);
  }
  await stand();
}

/** Reads one run's line again where it may be another; answers whether it was read. One run's fault is its own. */
async function readLine(id: string): Promise<boolean> {
  const events = await eventsOf(id);
  const line = held.get(id);
  if (events.length === 0 || (line?.whole && line.events === events.length)) return false;
  const by = reference.peek();
  const before = failed.get(id);
  if (before?.events === events.length && before.by === by) return false;
  await startEngine(); // a core that does not start is no fault of the run's
  try {
    held.set(id, await askTwice(() => lineOf(id, events)));
    failed.delete(id);
  } catch (error) {
    if (error instanceof NotSaved) throw error;
    console.error(id, error);
    failed.set(id, { fault: faultOf(id, events), events: events.length, by });
  }
  return true;
}

function faultOf(run: string, events: readonly StoredEvent[]): Fault {
  const data = events.find((event) => event.type === "run.opened")?.data;
  const name = String(data?.procedure ?? run);
  const vessel = typeof data?.vessel === "string" ? data.vessel : null;
  return { run, vessel, title: procedure(name)?.title ?? name };
}

async function lineOf(id: string, events: readonly StoredEvent[]): Promise<KeptLine> {
  // Never "open" from here: the run on the screen is folded from a log that may have grown since this was read.
  const records = await recordsOf(id, events);
  const line = await call<RunLine>("summary", records);
  return { events: events.length, whole: records.procedure !== null, line };
}

/** Asks the core what state every vessel is in now; where it cannot say, the board stays as it was and is said to be old. */
async function stand(): Promise<void> {
  const from = { lines: lines.peek(), by: reference.peek() };
  if (endedBy?.lines === from.lines && endedBy.by === from.by) return;
  const given = {
    vessels: vesselCards(),
    runs: from.lines,
    settings: from.by?.settings ?? {},
    instruments: from.by?.instruments ?? [],
    enrolled: await enrolled(),
    now: Date.now(),
  };
  try {
    await askTwice(async () => {
      board.value = await call<readonly VesselView[]>("plant", given);
      doubted.value = (await call<Doubts>("instruments", { now: given.now })).doubts;
    });
    known = given.now;
    stale.value = null;
  } catch (error) {
    console.error(error);
    if (hasEnded(error)) endedBy = from;
    stale.value = { known };
    return;
  }
  await keep("board", { known, rows: board.peek() });
}

/** When this phone was enrolled [ms]: it was sent the runs of some days before, and none older. */
async function enrolled(): Promise<number | null> {
  const made = (await admin()).find(
    ({ type, data }) => type === "device.enrolled" && data.device === device.peek()?.id,
  );
  return made ? Date.parse(made.time) : null;
}

function publish(): void {
  faults.value = [...failed.values()].map(({ fault }) => fault);
  lines.value = [...held.values()]
    .map(({ line }) => line)
    .sort((a, b) => (b.opened?.time ?? "").localeCompare(a.opened?.time ?? "") || b.id.localeCompare(a.id));
}

/** What an older version kept is read again from the log: another name where a summary carries more, another shape. */
const isBoard = (value: unknown): value is KeptBoard => {
  const { known, rows } = (value ?? {}) as Partial<KeptBoard>;
  return typeof known === "number" && Array.isArray(rows) && rows.every((row) => Array.isArray(row?.doubt));
};
const isLines = (value: unknown): value is readonly KeptLine[] =>
  Array.isArray(value) && value.every((row?: Partial<KeptLine>) => row?.line?.instruments);

/** What the lives of vessels and instruments bring to light of the run or the vessel of this id. */
export const troublesOf = (id: string): readonly Trouble[] =>
  [...(board.value ?? []).flatMap((vessel) => vessel.trouble), ...doubted.value].filter(
    (row) => row.run === id || row.vessel === id,
  );
