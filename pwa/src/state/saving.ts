/**
 * Making a record, and standing still when that fails. Nothing on the screen says "recorded" before the log does;
 * while `unsaved` is set the whole screen says "Not saved" and only trying again goes on.
 */
import { signal } from "@preact/signals";
import { NotSaved, reopen } from "../log";

export { journalState, logState, reopen } from "../log";

export const unsaved = signal<{ readonly retry: () => void } | null>(null);

/** Does what writes until it has written, asking the person in between. */
export async function save<T>(write: () => Promise<T>): Promise<T> {
  for (;;) {
    try {
      return await write();
    } catch (error) {
      if (!(error instanceof NotSaved)) throw error;
      console.error(error);
      await new Promise<void>((retry) => {
        unsaved.value = { retry };
      });
      await reopen().catch(console.error); // it will show again when the record is tried
      unsaved.value = null;
    }
  }
}
