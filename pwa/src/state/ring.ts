/**
 * Sound and vibration when a hold nears its end and when it is over.
 *
 * A browser lets a page sound only after a touch, and not at all while the screen sleeps, so `ring` says what this
 * phone can do and the hold's screen tells the person.
 */
import { effect, signal } from "@preact/signals";
import { keep, recall } from "../log";
import { openLines } from "./board";
import { seconds, watchSeconds } from "./clock";
import { session } from "./run";

/** `touch`: it will sound once the person has touched the page. */
export type Ring = "sound" | "touch" | "vibration" | "none";
export type Hold = {
  readonly run: string;
  readonly step: string;
  readonly started: number;
  readonly seconds: number;
};

const silent: Ring = typeof navigator.vibrate === "function" ? "vibration" : "none";
export const ring = signal<Ring>(typeof AudioContext === "function" ? "touch" : silent);

/** How this phone calls, chosen on its own page. */
export type Calling = "both" | "vibration";
export const calling = signal<Calling>("both");
const isCalling = (value: unknown): value is Calling => value === "both" || value === "vibration";

export function choose(next: Calling): void {
  calling.value = next;
  keep("calling", next).catch(console.error);
}

const LAST_MINUTE = 60;
const REPEAT = 4;
let audio: AudioContext | undefined;
/** The calls of the first minute after the end, and the one that comes late because the phone slept through it. */
const MOST = 1 + LAST_MINUTE / REPEAT;
const told = new Map<string, number>();

/** Every hold that runs on this phone: of the open run as shown, of the others as the board knows them. */
export function runningHolds(): readonly Hold[] {
  const shown = session.value;
  const here = shown?.view.status === "open" ? holdsOf(shown.id, shown.view.steps) : [];
  const elsewhere = openLines.value.flatMap((line) =>
    line.hold && line.id !== shown?.id ? [{ run: line.id, ...line.hold }] : [],
  );
  return [...here, ...elsewhere];
}

type Steps = NonNullable<typeof session.value>["view"]["steps"];
function holdsOf(run: string, steps: Steps): Hold[] {
  return Object.entries(steps).flatMap(([step, { hold, status }]) =>
    hold?.state === "running" && hold.started !== undefined && status !== "done" && status !== "skipped"
      ? [{ run, step, started: hold.started, seconds: hold.seconds }]
      : [],
  );
}

/** Seconds a hold still lasts at a moment; negative once it is over. */
export const left = (hold: Hold, at: number): number => hold.seconds - (at - hold.started) / 1000;

/** How a hold stands with so many seconds left. */
export const stageOf = (rest: number): "over" | "last" | "running" =>
  rest <= 0 ? "over" : rest <= LAST_MINUTE ? "last" : "running";

export function followHolds(): void {
  document.addEventListener("pointerdown", unlock);
  document.addEventListener("keydown", unlock);
  recall("calling", isCalling).then((kept) => {
    calling.value = kept ?? calling.value;
  }, console.error);
  let stop: (() => void) | null = null;
  effect(() => {
    const any = runningHolds().length > 0;
    if (any && !stop) stop = watchSeconds();
    if (!any && stop) {
      stop();
      stop = null;
    }
  });
  effect(() => {
    for (const hold of runningHolds()) tell(hold, seconds.value);
  });
}

/** Once at a minute before the end, once at the end, every few seconds for a minute after it, and once if it was slept through. */
function tell(hold: Hold, at: number): void {
  const rest = left(hold, at);
  const key = `${hold.run} ${hold.step} ${hold.started}`;
  if (rest > LAST_MINUTE) return;
  const stage = rest > 0 ? 0 : Math.min(MOST, 1 + Math.floor(-rest / REPEAT));
  if ((told.get(key) ?? -1) >= stage) return;
  told.set(key, stage);
  callOut(stage > 0);
}

/** One short call in the last minute; three long ones at the end. */
export function callOut(over: boolean): void {
  if (calling.value === "both") sound(over ? 3 : 1);
  navigator.vibrate?.(over ? [400, 150, 400, 150, 400] : 200);
}

function unlock(): void {
  if (typeof AudioContext !== "function" || audio?.state === "running") return;
  audio ??= new AudioContext();
  void audio.resume().then(() => {
    ring.value = audio?.state === "running" ? "sound" : silent;
  }, console.error);
}

export function sound(times: number): void {
  if (audio?.state !== "running") return;
  for (let i = 0; i < times; i++) {
    const at = audio.currentTime + i * 0.35;
    const tone = audio.createOscillator();
    const loudness = audio.createGain();
    tone.frequency.value = 880;
    loudness.gain.setValueAtTime(0.5, at);
    loudness.gain.exponentialRampToValueAtTime(0.001, at + 0.25);
    tone.connect(loudness).connect(audio.destination);
    tone.start(at);
    tone.stop(at + 0.25);
  }
}
