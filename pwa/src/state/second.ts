/** Has what this phone needs of others' records kept beside its journal, a while after they have changed. */
import { keepOthers, onChange } from "../log";
import { openLines } from "./board";

const FIRST_MS = 10_000;
const AGAIN_MS = 60_000;
/** What this phone made of the runs it knows, and of the plant. */
const KEYS = ["life:", "board"];

export function followOthers(): void {
  let waits = false;
  const keepIn = (ms: number): void => {
    if (waits) return;
    waits = true;
    setTimeout(() => {
      waits = false;
      const runs = openLines.peek().map(({ id }) => id);
      keepOthers(runs, KEYS).catch(console.error);
    }, ms);
  };
  onChange(({ made }) => {
    if (!made) keepIn(AGAIN_MS);
  });
  keepIn(FIRST_MS);
}
