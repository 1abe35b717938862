/** The number on the app's icon: what waits for the person who holds this phone, as far as the phone knows. */
import { effect } from "@preact/signals";
import { current } from "../identity";
import { syncState } from "../sync";
import { lines } from "./board";
import type { RunLine } from "./view";

const calls = (line: RunLine): boolean => line.deviations_open > 0 || line.contested > 0;

/** Records the office refused; and for those who answer deviations, the runs that call for it. */
function count(): number {
  const role = current.value?.role;
  const answers = role === "duty" || role === "manager";
  return syncState.value.refused + (answers ? lines.value.filter(calls).length : 0);
}

export function followBadge(): void {
  if (!("setAppBadge" in navigator)) return;
  effect(() => {
    navigator.setAppBadge(count()).catch(() => undefined); // only an installed app has an icon to write on
  });
}
