/** Every vessel and every run as far as this phone knows, for the plant board and the home screen. */
import { computed, effect, signal } from "@preact/signals";
import { call, engineState } from "../engine";
import { device } from "../identity";
import { admin, eventsOf, keep, onChange, recall, runs, type StoredEvent } from "../log";
import { reference } from "../sync";
import { now } from "./clock";
import { recordsOf } from "./fold";
import { vesselCards } from "./known";
import type { RunLine, Trouble, VesselView } from "./view";

/** `whole`: folded with its procedure at hand. One that was not is read again when the reference comes. */
type KeptLine = { readonly events: number; readonly whole: boolean; readonly line: RunLine };

export const lines = signal<readonly RunLine[]>([]);
export const board = signal<readonly VesselView[] | null>(null);
export const openLines = computed(() => lines.value.filter((line) => line.status === "open"));

const doubted = signal<readonly Trouble[]>([]);

const held = new Map<string, KeptLine>();
let turn: Promise<void> = Promise.resolve();

export const linesOf = (vessel: string): readonly RunLine[] =>
  lines.value.filter((line) => line.vessel === vessel);

/** Shows the board as last known, then keeps it true as records arrive and time passes. */
export async function followBoard(): Promise<void> {
  board.value = (await recall("board", isBoard)) ?? null;
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
  for (const id of ids) await readLine(id);
  publish();
  await keep("lives", [...held.values()]);
  await stand();
}

async function readLine(id: string): Promise<void> {
  const events = await eventsOf(id);
  const known = held.get(id);
  if (events.length === 0 || (known?.whole && known.events === events.length)) return;
  held.set(id, await lineOf(id, events));
}

async function lineOf(id: string, events: readonly StoredEvent[]): Promise<KeptLine> {
  // Never "open" from here: the run on the screen is folded from a log that may have grown since this was read.
  const records = await recordsOf(id, events);
  const line = await call<RunLine>("summary", records);
  return { events: events.length, whole: records.procedure !== null, line };
}

/** Asks the core what state every vessel is in now. */
async function stand(): Promise<void> {
  board.value = await call<readonly VesselView[]>("plant", {
    vessels: vesselCards(),
    runs: lines.peek(),
    settings: reference.peek()?.settings ?? {},
    instruments: reference.peek()?.instruments ?? [],
    enrolled: await enrolled(),
    now: Date.now(),
  });
  const { doubts } = await call<{ readonly doubts: readonly Trouble[] }>("instruments", { now: Date.now() });
  doubted.value = doubts;
  await keep("board", board.peek());
}

/** When this phone was enrolled [ms]: it was sent the runs of some days before, and none older. */
async function enrolled(): Promise<number | null> {
  const made = (await admin()).find(
    ({ type, data }) => type === "device.enrolled" && data.device === device.peek()?.id,
  );
  return made ? Date.parse(made.time) : null;
}

function publish(): void {
  lines.value = [...held.values()]
    .map(({ line }) => line)
    .sort((a, b) => (b.opened?.time ?? "").localeCompare(a.opened?.time ?? "") || b.id.localeCompare(a.id));
}

/** What an older version kept is read again from the log: another name where a summary carries more, another shape. */
const isBoard = (value: unknown): value is readonly VesselView[] =>
  Array.isArray(value) && value.every((row: VesselView) => Array.isArray(row.doubt));
const isLines = (value: unknown): value is readonly KeptLine[] =>
  Array.isArray(value) && value.every((row: KeptLine) => row.line.instruments);

/** What the lives of vessels and instruments bring to light of the run or the vessel of this id. */
export const troublesOf = (id: string): readonly Trouble[] =>
  [...(board.value ?? []).flatMap((vessel) => vessel.trouble), ...doubted.value].filter(
    (row) => row.run === id || row.vessel === id,
  );
