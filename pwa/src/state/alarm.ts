/**
 * What takes the whole screen, for anyone, signed in or not: the gas alarm, pressed or raised by a reading, and the
 * emergencies. It stays until it is let go, through a reload and a browser that was ended.
 */
import { effect, signal } from "@preact/signals";
import { keep, recall } from "../log";
import { reference } from "../sync";
import { caution } from "./known";
import { isText } from "./readwith";

type Alarm = "gas" | "emergency" | "";
export const alarm = signal<Alarm>("");

/** Brings back what stood when the page was left; what was pressed meanwhile goes before it. */
export async function followAlarm(): Promise<void> {
  let kept = (await recall("alarm", isText)) ?? "";
  if (kept && !alarm.peek()) alarm.value = kept as Alarm;
  effect(() => {
    if (alarm.value === kept) return;
    kept = alarm.value;
    void keep("alarm", kept).catch(console.error);
  });
}

/** Raises the gas alarm when a reading has triggered a caution that is one. */
export function alarmFor(cautions: readonly string[]): void {
  if (cautions.some((id) => caution(id)?.alarm)) alarm.value = "gas";
}

/** What the site has given for a figure or a statement, as text; empty where it has not. */
export const given = (name: string): string => String(reference.value?.settings[name] ?? "");

/** The site's own number to call, or the one that works on any phone in Europe; in words there may be two of them. */
export const emergencyNumber = (): string => given("emergency-number") || "112";
