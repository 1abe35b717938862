/** The loop: inputs from the browser and the log go to `hear`, and what `decide` says is done. Its time is the page's own: the clock may be set. */
import { device, loadIdentity } from "../identity";
import { onChange } from "../log";
import { want } from "./compare";
import { atStart, decide, hear, type Input, type World } from "./decide";
import { askToPersist, show, watchLog } from "./state";
import { turn } from "./turn";

const LOCK = "vesselside-sync";
/** A tab frozen in the middle of an exchange must not keep the others waiting for ever. */
const STEAL_AFTER_MS = 6 * 60_000;
const LONGEST_TIMER_MS = 2 ** 31 - 1;

let world: World = atStart(performance.now(), true);
let timer: ReturnType<typeof setTimeout> | undefined;
let busySince: number | null = null;
let askers: (() => void)[] = [];

/** Starts exchanging whenever it is due; the answer stops it. */
export function startSync(): () => void {
  const visible = (): boolean => document.visibilityState === "visible";
  world = atStart(performance.now(), visible());
  const stops: (() => void)[] = [
    listen(document, "visibilitychange", () => input({ kind: "view", visible: visible() })),
    listen(window, "online", () => input({ kind: "online" })),
    device.subscribe((held) => {
      if (held === undefined) return;
      const waits = held?.was !== undefined; // the office knows nothing of this phone's new key
      if (waits) show({ trouble: "enrol" });
      input({ kind: held && !waits ? "enrolled" : "disowned" });
    }),
    onChange(({ made }) => {
      if (made) input({ kind: "tap" });
    }),
  ];
  begin(stops).catch((error: unknown) => {
    show({ trouble: "storage" });
    reportError(error);
  });
  return () => {
    for (const stop of stops) stop();
    input({ kind: "disowned" });
  };
}

/** Exchanges now, if that is allowed at all; resolves when the one attempt is over. */
export function syncNow(): Promise<void> {
  const { promise, resolve } = Promise.withResolvers<void>();
  askers.push(resolve);
  input({ kind: "asked" });
  if (!world.running) release();
  return promise;
}

/** Asks for the whole of a run, also of one closed long ago. */
export function fetchRun(run: string): Promise<void> {
  want(run);
  return syncNow();
}

async function begin(stops: (() => void)[]): Promise<void> {
  await loadIdentity();
  stops.push(await watchLog());
  await askToPersist();
}

function listen(target: EventTarget, name: string, heard: () => void): () => void {
  target.addEventListener(name, heard);
  return () => target.removeEventListener(name, heard);
}

function input(heard: Input): void {
  world = hear(world, heard, performance.now());
  if (!world.enrolled) release();
  act();
}

function act(): void {
  clearTimeout(timer);
  const decision = decide(world, performance.now());
  // a browser runs a longer timer at once
  if (decision.do === "wait")
    timer = setTimeout(act, Math.min(decision.until - performance.now(), LONGEST_TIMER_MS));
  if (decision.do !== "exchange") return;
  world = hear(world, { kind: "begun" }, performance.now());
  show({ running: true });
  const waited = askers;
  askers = [];
  void oneTurn(decision).then((heard) => {
    show({ running: false });
    for (const done of waited) done();
    if (heard.kind === "failed") release();
    input(heard);
  });
}

/** Whatever happens in it, a turn ends as an input: a loop that stopped would look like no news. */
async function oneTurn(room: { readonly batch: number; readonly page: number }): Promise<Input> {
  try {
    return await underLock(() => turn(room));
  } catch (error) {
    reportError(error);
    show({ trouble: "storage" });
    return { kind: "failed", chance: Math.random(), retryAfter: null };
  }
}

function release(): void {
  for (const done of askers) done();
  askers = [];
}

async function underLock(work: () => Promise<Input>): Promise<Input> {
  const stale = busySince !== null && performance.now() - busySince > STEAL_AFTER_MS;
  const options: LockOptions = stale ? { steal: true } : { ifAvailable: true };
  try {
    const heard = await navigator.locks.request(LOCK, options, (lock) => (lock ? work() : null));
    busySince = heard === null ? (busySince ?? performance.now()) : null;
    return heard ?? { kind: "busy" };
  } catch (error) {
    if (error instanceof DOMException && error.name === "AbortError") return { kind: "busy" }; // stolen from us
    throw error;
  }
}
