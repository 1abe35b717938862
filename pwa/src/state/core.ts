/** The core's coming and going: one that ended comes back, and a question it ended under is asked once more. */
import { effect } from "@preact/signals";
import { EngineError, engineState, generation, startEngine } from "../engine";

export { engineState, startEngine };

export const hasEnded = (error: unknown): boolean =>
  error instanceof EngineError && error.code === "engine-lost";

/** Asks once more where the core ended under the question: another question may have been what ended it. */
export async function askTwice<T>(ask: () => Promise<T>): Promise<T> {
  try {
    return await ask();
  } catch (error) {
    if (!hasEnded(error)) throw error;
    return ask();
  }
}

/** Starts a core that has ended again; one that did not even start waits for the person. */
export function followCore(): void {
  let known = 0;
  effect(() => {
    if (engineState.value !== "failed" || generation.peek() === known) return;
    known = generation.peek();
    startEngine().catch(console.error);
  });
}
