/** Keeps the screen awake during a run, and knows when this phone cannot. */
import { signal } from "@preact/signals";
import { useEffect } from "preact/hooks";

export const wake = signal<"off" | "on" | "cannot">("off");

let lock: WakeLockSentinel | null = null;
let wished = false;

export function useAwake(): void {
  useEffect(() => {
    wished = true;
    void hold();
    document.addEventListener("visibilitychange", hold);
    return () => {
      wished = false;
      document.removeEventListener("visibilitychange", hold);
      void lock?.release();
      lock = null;
      wake.value = "off";
    };
  }, []);
}

async function hold(): Promise<void> {
  if (!wished || document.visibilityState !== "visible" || (lock && !lock.released)) return;
  if (!("wakeLock" in navigator)) {
    wake.value = "cannot";
    return;
  }
  try {
    lock = await navigator.wakeLock.request("screen");
    wake.value = "on";
  } catch (error) {
    if (!(error instanceof DOMException)) throw error;
    wake.value = "cannot"; // low battery, or the browser forbids it
  }
}
