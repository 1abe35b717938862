/**
 * Offline sign-in. A verifier is made at a person's first online sign-in on this phone: PBKDF2 of the
 * secret, sealed with a key that cannot be read out of the browser. It lapses when the phone has not
 * reached the server for 14 days. Wrong tries are counted before they are judged, on disk, so that
 * closing the page does not save anyone the growing delay.
 */
import { breakSeal, forget, forgetUnder, type Head, headNow, keep, recall, sealed, unsealed } from "../log";

const ROUNDS = 600_000;
const LAPSE_MS = 14 * 24 * 60 * 60_000;
const FIRST_WAIT_MS = 1_000;
const LONGEST_WAIT_MS = 15 * 60_000;

type Verifier = {
  readonly salt: Uint8Array<ArrayBuffer>;
  readonly rounds: number;
  readonly iv: Uint8Array<ArrayBuffer>;
  readonly bytes: ArrayBuffer;
  /** when it was made, by the server's clock; one from before that was noted has none */
  readonly made?: number;
};
type Tries = { readonly wrong: number; readonly until: number };

export type Verdict =
  | { readonly ok: true }
  | { readonly ok: false; readonly why: "wrong" | "wait"; readonly until?: number }
  | { readonly ok: false; readonly why: "no-verifier" | "lapsed" };

const PREFIX = "verifier:";
const verifierKey = (person: string): string => PREFIX + person;
const triesKey = (person: string): string => `tries:${person}`;

export async function makeVerifier(person: string, secret: string): Promise<void> {
  const salt = crypto.getRandomValues(new Uint8Array(16));
  const { iv, bytes } = await sealed(await derive(secret, salt, ROUNDS));
  const made = Date.now() + ((await headNow())?.offset ?? 0);
  await keep(verifierKey(person), { salt, rounds: ROUNDS, iv, bytes, made } satisfies Verifier);
  await forget(triesKey(person));
}

/** Drops the verifier if it still takes a secret that the server has just turned down. */
export async function dropIfStale(person: string, secret: string): Promise<void> {
  const held = await recall(verifierKey(person), isVerifier);
  if (held && (await matches(held, secret))) await forget(verifierKey(person));
}

/** Keeps the verifiers of these people alone. */
export async function keepOnly(people: ReadonlySet<string>): Promise<void> {
  await forgetUnder(PREFIX, (key) => people.has(key.slice(PREFIX.length)));
}

/** The office set another secret at this moment: a verifier of one from before it is none any more. */
export async function outdate(person: string, set: number): Promise<void> {
  const held = await recall(verifierKey(person), isVerifier);
  if (held && (held.made ?? 0) < set) await forget(verifierKey(person));
}

/** Drops every verifier, and the key they were sealed with. */
export async function dropVerifiers(): Promise<void> {
  await forgetUnder(PREFIX);
  await breakSeal();
}

/** Judges a secret with no server. */
export async function verify(person: string, secret: string): Promise<Verdict> {
  const held = await recall(verifierKey(person), isVerifier);
  if (!held) return { ok: false, why: "no-verifier" };
  const head = await headNow();
  if (!head || latest(head) - head.reached > LAPSE_MS) return { ok: false, why: "lapsed" };
  const tries = (await recall(triesKey(person), isTries)) ?? { wrong: 0, until: 0 };
  const now = Date.now();
  if (tries.until > now)
    return { ok: false, why: "wait", until: Math.min(tries.until, now + LONGEST_WAIT_MS) };
  const until = now + Math.min(LONGEST_WAIT_MS, FIRST_WAIT_MS * 2 ** tries.wrong);
  await keep(triesKey(person), { wrong: tries.wrong + 1, until } satisfies Tries);
  if (!(await matches(held, secret))) return { ok: false, why: "wrong", until };
  await forget(triesKey(person));
  return { ok: true };
}

/** A stamp may go on from one that had leapt for so long by counting alone [ms]. */
const COUNTED_MS = 60_000;

/** The latest moment this phone knows of: setting its clock back buys no time. A stamp known to have leapt is no moment. */
function latest({ hlc, leapt }: Head): number {
  const stamp = Number.parseInt(hlc.slice(0, 12), 16);
  const believed = !leapt || stamp < leapt.stamp || stamp > leapt.stamp + COUNTED_MS;
  return believed ? Math.max(Date.now(), stamp) : Date.now();
}

async function matches(held: Verifier, secret: string): Promise<boolean> {
  const kept = await unsealed(held);
  if (kept === null) return false;
  const [wanted, got] = [new Uint8Array(kept), new Uint8Array(await derive(secret, held.salt, held.rounds))];
  let different = wanted.length ^ got.length;
  for (const [at, byte] of wanted.entries()) different |= byte ^ (got[at] ?? 0);
  return different === 0;
}

async function derive(
  secret: string,
  salt: Uint8Array<ArrayBuffer>,
  iterations: number,
): Promise<ArrayBuffer> {
  const bytes = new TextEncoder().encode(secret.normalize("NFC"));
  const key = await crypto.subtle.importKey("raw", bytes, "PBKDF2", false, ["deriveBits"]);
  return crypto.subtle.deriveBits({ name: "PBKDF2", hash: "SHA-256", salt, iterations }, key, 256);
}

function isVerifier(value: unknown): value is Verifier {
  return (
    typeof value === "object" &&
    value !== null &&
    "salt" in value &&
    value.salt instanceof Uint8Array &&
    "rounds" in value &&
    typeof value.rounds === "number" &&
    "iv" in value &&
    value.iv instanceof Uint8Array &&
    "bytes" in value &&
    value.bytes instanceof ArrayBuffer
  );
}

function isTries(value: unknown): value is Tries {
  return (
    typeof value === "object" &&
    value !== null &&
    "wrong" in value &&
    typeof value.wrong === "number" &&
    "until" in value &&
    typeof value.until === "number"
  );
}
