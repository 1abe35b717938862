/** What nobody foresaw: it stands in the console, and the person is told instead of looking at a press that did nothing. */
import { signal } from "@preact/signals";

export const mishap = signal(false);

/** From now on, whatever no one has caught is told. */
export function watchMishaps(): void {
  const tell = (): void => {
    mishap.value = true;
  };
  addEventListener("unhandledrejection", tell);
  addEventListener("error", ({ error }) => error && tell()); // a browser's own warnings carry no error
}
