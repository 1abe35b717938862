import type { StoredEvent } from "./types";

const TEXTS = [
  "id",
  "source",
  "type",
  "subject",
  "time",
  "person",
  "hlc",
  "seen",
  "prevhash",
  "signature",
] as const;
const CLOCK = /^[0-9a-f]{12}-[0-9a-f]{4}$/;

/** True for what has the envelope's attributes; what an event means is judged by the core alone. */
export function isEvent(value: unknown): value is StoredEvent {
  if (typeof value !== "object" || value === null) return false;
  const event = value as Record<string, unknown>;
  return (
    event.specversion === "1.0" &&
    TEXTS.every((name) => typeof event[name] === "string") &&
    CLOCK.test(event.hlc as string) &&
    Number.isSafeInteger(event.number) &&
    typeof event.data === "object" &&
    event.data !== null
  );
}
