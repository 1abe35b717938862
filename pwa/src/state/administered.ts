/** How often the log has taken in administration since the page was opened: a desk that shows some asks again. */
import { type Signal, signal } from "@preact/signals";
import { onChange } from "../log";

export const administered: Signal<number> = signal(0);

onChange(({ subjects }) => {
  if (subjects.includes("/admin")) administered.value += 1;
});
