import { hex } from "./bytes";

/** UUIDv7 (RFC 9562 section 5.7), lower case; `random` gives rand_a and rand_b, 10 bytes. */
export function uuid7(ms: number, random: Uint8Array = crypto.getRandomValues(new Uint8Array(10))): string {
  const bytes = new Uint8Array(16);
  for (let i = 5, rest = ms; i >= 0; i--, rest = Math.floor(rest / 256)) bytes[i] = rest % 256;
  bytes.set(random, 6);
  bytes[6] = ((bytes[6] ?? 0) & 0x0f) | 0x70;
  bytes[8] = ((bytes[8] ?? 0) & 0x3f) | 0x80;
  return hex(bytes).replace(/(.{8})(.{4})(.{4})(.{4})(.{12})/, "$1-$2-$3-$4-$5");
}
