/**
 * Sound and vibration when a hold nears its end and when it is over.
 *
 * A browser lets a page sound only after a touch, and not at all while the screen sleeps, so `ring` says what this
 * phone can do and the hold's screen tells the person.
 */
import { effect, signal } from "@preact/signals";
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

const LAST_MINUTE = 60;
const REPEAT = 4;
let audio: AudioContext | undefined;
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

export function followHolds(): void {
  document.addEventListener("pointerdown", unlock);
  document.addEventListener("keydown", unlock);
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

/** Once at a minute before the end, once at the end, then every few seconds for the first minute after it. */
function tell(hold: Hold, at: number): void {
  const rest = left(hold, at);
  const key = `${hold.run} ${hold.step} ${hold.started}`;
  if (rest > LAST_MINUTE || rest < -LAST_MINUTE) return;
  const stage = rest > 0 ? 0 : 1 + Math.floor(-rest / REPEAT);
  if ((told.get(key) ?? -1) >= stage) return;
  told.set(key, stage);
  sound(stage === 0 ? 1 : 3);
  navigator.vibrate?.(stage === 0 ? 200 : [400, 150, 400, 150, 400]);
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
