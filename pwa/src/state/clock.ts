/** The phone's clock as a signal: by the second while something is counted down, else by the half minute. */
import { signal } from "@preact/signals";
import { useEffect } from "preact/hooks";

export const now = signal(Date.now());
export const seconds = signal(Date.now());

let watchers = 0;
let ticking: ReturnType<typeof setInterval> | undefined;

setInterval(tellTime, 30_000);
document.addEventListener("visibilitychange", tellTime);

function tellTime(): void {
  now.value = Date.now();
  seconds.value = now.value;
}

/** Keeps `seconds` running while the component that calls it is on the screen. */
export function useSeconds(): number {
  useEffect(watchSeconds, []);
  return seconds.value;
}

/** Keeps `seconds` running until the returned function is called. */
export function watchSeconds(): () => void {
  watchers += 1;
  seconds.value = Date.now();
  ticking ??= setInterval(() => {
    seconds.value = Date.now();
  }, 250);
  return () => {
    watchers -= 1;
    if (watchers > 0) return;
    clearInterval(ticking);
    ticking = undefined;
  };
}
