/**
 * A new version on its way, as far as the screens of this tab bear on it: while a run is open here no tab takes it, and
 * where another tab took it this one is loaded anew at its next screen, not in the middle of this one.
 */
import { effect } from "@preact/signals";
import { holdBack, update } from "../sw";
import { route } from "./route";

export function followVersion(): void {
  let release: (() => void) | null = null;
  let before = route.peek();
  effect(() => {
    const here = route.value;
    if (update.peek().outdated && here !== before) location.reload();
    before = here;
    const open = here[0] === "run";
    if (open) release ??= holdBack();
    else release?.();
    if (!open) release = null;
  });
}
