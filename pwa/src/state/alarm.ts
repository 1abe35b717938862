/** The gas alarm: pressed on any screen, or raised by a reading. It takes the whole screen until everyone is out. */
import { signal } from "@preact/signals";
import { reference } from "../sync";
import { caution } from "./known";

export const alarm = signal(false);

export function raiseAlarm(): void {
  alarm.value = true;
  navigator.vibrate?.([600, 200, 600, 200, 600]);
}

/** Raises it when a reading has triggered a caution that is an alarm. */
export function alarmFor(cautions: readonly string[]): void {
  if (cautions.some((id) => caution(id)?.alarm)) raiseAlarm();
}

/** The site's own number to call, or the one that works on any phone in Europe; in words there may be two of them. */
export function emergencyNumber(): string {
  const own = reference.value?.settings["emergency-number"];
  return typeof own === "string" && own !== "" ? own : "112";
}
