import canonicalize from "canonicalize";
import { sha256, utf8 } from "./bytes";
import { NotAccepted } from "./errors";
import type { StoredEvent } from "./types";

/** The limits of a record, the same as the server's, applied before an event is numbered. */
const MAX_BYTES = 65_536;
const MAX_DEPTH = 8;

/** RFC 8785 text of a value made of plain JSON. */
export function canonical(value: object): string {
  const text = canonicalize(value);
  if (text === undefined) throw new NotAccepted("bad-value", "not a JSON value");
  return text;
}

/** The canonical text that is hashed and chained: signature included, the server's two attributes not. */
export function chainText(event: StoredEvent): string {
  const { sequence: _sequence, recordedtime: _recordedtime, ...signed } = event;
  return canonical(signed);
}

/** Of a record that something was taken out of, the hash it was chained with. */
export const hashOf = async (event: StoredEvent): Promise<string> =>
  event.redacted ?? sha256(chainText(event));

/** Refuses what the server could not store: depth, text, numbers, and values JSON does not have. */
export function checkValue(value: unknown, depth = 1): void {
  if (typeof value === "string") checkText(value);
  else if (typeof value === "number") checkNumber(value);
  else if (typeof value === "object" && value !== null) {
    if (depth > MAX_DEPTH) throw new NotAccepted("too-deep", `nested deeper than ${MAX_DEPTH}`);
    for (const [key, member] of Object.entries(value)) {
      checkText(key);
      checkValue(member, depth + 1);
    }
  } else if (value !== null && typeof value !== "boolean") {
    throw new NotAccepted("bad-value", `a ${typeof value} is no JSON value`);
  }
}

export function checkSize(text: string): void {
  if (utf8(text).length > MAX_BYTES) throw new NotAccepted("too-large", "larger than 64 kB");
}

function checkText(text: string): void {
  if (text.includes("\0")) throw new NotAccepted("bad-text", "holds the character U+0000");
  if (!text.isWellFormed()) throw new NotAccepted("bad-text", "holds half a surrogate pair");
}

function checkNumber(value: number): void {
  if (!Number.isSafeInteger(value)) {
    throw new NotAccepted("bad-number", "only whole numbers within 2^53 are numbers; write others as text");
  }
}
