/** Every vessel and every run as far as this phone knows, for the plant board and the home screen. */
import { computed, effect, signal } from "@preact/signals";
import { call, engineState, generation, startEngine } from "../engine";
import { device } from "../identity";
import { admin, eventsOf, keep, keptUnder, NotSaved, onChange, recall, runs, type StoredEvent } from "../log";
import { reference } from "../sync";
import { now } from "./clock";
import { askTwice, hasEnded } from "./core";
import { recordsOf } from "./fold";
import { procedure, vesselCards } from "./known";
import { askAbout } from "./told";
import type { RunLine, Trouble, VesselView } from "./view";

/** `whole`: folded with its procedure at hand. One that was not is read again when the reference comes. */
type KeptLine = { readonly events: number; readonly whole: boolean; readonly line: RunLine };

type KeptBoard = { readonly known: number; readonly rows: readonly VesselView[] };
type Plant = { readonly vessels: readonly VesselView[]; readonly doubts: readonly Trouble[] };

export const lines = signal<readonly RunLine[]>([]);
export const board = signal<readonly VesselView[] | null>(null);
export const openLines = computed(() => lines.value.filter((line) => line.status === "open"));

/** A run that the core cannot fold, named by its opening alone. Its last good line, if it has one, stays in `lines`. */
export type Fault = { readonly run: string; readonly vessel: string | null; readonly title: string };
export const faults = signal<readonly Fault[]>([]);

/** Set while the board cannot be worked out anew: when it last was [ms], if ever. */
export const stale = signal<{ readonly known: number | null } | null>(null);

/** One row a run, so that a tap writes no other run's. */
const LIFE = "life:";

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
  for (const line of await keptUnder(LIFE, isLine)) held.set(line.line.id, line);
  publish();
  onChange(({ subjects, events, again }) => {
    if (events?.every((event) => expected.has(event))) return;
    const ids = subjects.filter((subject) => subject.startsWith("/runs/")).map((subject) => subject.slice(6));
    if (again) for (const id of ids) held.delete(id);
    if (ids.length > 0) want(ids, true);
  });
  effect(() => {
    if (engineState.value !== "ready" || !reference.value) return;
    inTurn(async () =>
      want(
        (await runs()).map(({ run }) => run),
        false,
      ),
    );
  });
  effect(() => {
    if (now.value && reference.value && engineState.value === "ready") inTurn(stand);
  });
}

function inTurn(work: () => Promise<void>): void {
  turn = turn.then(work).catch(console.error);
}

/** Runs whose line is to be read: those that changed just now before what waits, which is the newest first. */
let due: readonly string[] = [];

function want(ids: readonly string[], now: boolean): void {
  const [first, then] = now ? [ids, due] : [due, ids];
  due = [...new Set([...first, ...then])];
  inTurn(read);
}

/** Each line is shown as it is read: a phone that was enrolled just now has weeks of runs to read. */
async function read(): Promise<void> {
  if (engineState.peek() !== "ready") return;
  for (let id = due[0]; id; id = due[0]) {
    due = due.filter((other) => other !== id);
    if (await readLine(id)) publish();
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
    const made = await askTwice(() => lineOf(id, events));
    held.set(id, made);
    failed.delete(id);
    await keep(LIFE + id, made);
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
  const records = recordsOf(id, events);
  const line = await askAbout<RunLine>("line", records);
  return { events: events.length, whole: records.procedure !== null, line };
}

/** Asks the core what state every vessel is in now; where it cannot say, the board stays as it was and is said to be old. */
async function stand(): Promise<void> {
  const from = { lines: lines.peek(), by: reference.peek() };
  if (endedBy?.lines === from.lines && endedBy.by === from.by) return;
  const now = Date.now();
  try {
    const plant = await askTwice(async () => call<Plant>(...(await question(now))));
    loaded = { by: from.by, core: generation.peek() };
    board.value = plant.vessels;
    doubted.value = plant.doubts;
    known = now;
    stale.value = null;
  } catch (error) {
    console.error(error);
    if (hasEnded(error)) endedBy = from;
    stale.value = { known };
    return;
  }
  await keep("board", { known, rows: board.peek() });
}

/** The core is told all that this phone knows once, and again when the core or the reference is another. */
async function question(now: number): Promise<readonly ["stand" | "load", object]> {
  const by = reference.peek();
  if (loaded && loaded.by === by && loaded.core === generation.peek()) return ["stand", { now }];
  const { settings = {}, instruments = [] } = by ?? {};
  const given = { vessels: vesselCards(), runs: lines.peek(), settings, instruments };
  return ["load", { ...given, enrolled: await enrolled(), now }];
}

let loaded: { readonly by: unknown; readonly core: number } | null = null;

/** Records about to be made here: what they change comes with the tap, so the log need not be read for it. */
const expected = new Set<string>();
export function expectLine(run: string, events: readonly string[]): void {
  if (failed.has(run)) return;
  expected.clear();
  for (const event of events) expected.add(event);
}

/** Reads a run's line from the log, where what was expected did not come with the tap. */
export const readAgain = (run: string): void => want([run], true);

type Tapped = Plant & { readonly run: { readonly events: number }; readonly line: RunLine };

/** Takes what a tap changed: the run's line, and the rows of the plant that are another now. */
export function takeLine({ run, line, vessels, doubts }: Tapped): void {
  const made: KeptLine = { events: run.events, whole: line.title !== "", line };
  held.set(line.id, made);
  publish();
  const rows = new Map(vessels.map((row) => [row.id, row]));
  if (rows.size > 0) board.value = board.peek()?.map((row) => rows.get(row.id) ?? row) ?? null;
  if (loaded) doubted.value = doubts;
  keep(LIFE + line.id, made).catch(console.error);
}

/** When this phone was enrolled [ms]: it was sent the runs of some days before, and none older. */
async function enrolled(): Promise<number | null> {
  const mine = device.peek();
  const made = (await admin()).find(
    ({ type, data }) => type === "device.enrolled" && data.device === (mine?.was ?? mine?.id),
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
  return (
    typeof known === "number" &&
    Array.isArray(rows) &&
    rows.every((row) => Array.isArray(row?.doubt) && "chemical" in row)
  );
};
const isLine = (value: unknown): value is KeptLine =>
  Boolean((value as Partial<KeptLine>)?.line?.instruments);

/** What the lives of vessels and instruments bring to light of the run or the vessel of this id. */
export const troublesOf = (id: string): readonly Trouble[] =>
  [...(board.value ?? []).flatMap((vessel) => vessel.trouble), ...doubted.value].filter(
    (row) => row.run === id || row.vessel === id,
  );
