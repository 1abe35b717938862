/** How a person likes a run shown on this phone. Both ways make the same record. */
import { effect, signal } from "@preact/signals";
import { current } from "../identity";
import { keep, recall } from "../log";

export type Mode = "walk" | "steps";

/** A new starter is walked through until they choose otherwise. */
export const mode = signal<Mode>("walk");

const isMode = (value: unknown): value is Mode => value === "walk" || value === "steps";

export function choose(next: Mode): void {
  mode.value = next;
  const person = current.peek()?.id;
  if (person) void keep(`mode:${person}`, next).catch(console.error);
}

export function followMode(): void {
  effect(() => {
    const person = current.value;
    if (!person) return;
    void recall(`mode:${person.id}`, isMode)
      .then((kept) => {
        mode.value = kept ?? (person.role === "starter" ? "walk" : "steps");
      })
      .catch(console.error);
  });
}
