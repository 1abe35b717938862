/**
 * The signed heads of the log that this phone was given, and whether each begins with those before it (RFC 9162 section
 * 2.1.4). A server that has gone back or forked cannot make what it says now fit a head that is kept here; a restore is
 * told by a signed event of its own, `log.restored`, and explains how far it went back. Part of `back`.
 */
import type { SyncAnswer, TreeHead } from "../api";
import type { Page } from "./page";

export const HEADS = "heads";
const KEPT = 12;
const HOURLY_MS = 3_600_000;
const ENCODER = new TextEncoder();

export type KeptHead = TreeHead & { readonly epoch?: string | undefined };
export type Doubt = {
  readonly kind: "gone-back" | "forked";
  /** this phone's time when it came to light */
  readonly at: number;
  readonly kept: KeptHead | null;
  readonly told: TreeHead | null;
  /** the desk was told of it */
  readonly said?: boolean;
};
export type Heads = {
  readonly heads: readonly KeptHead[];
  /** when the last one was compared with an earlier one */
  readonly checked: number;
  readonly doubt?: Doubt;
};

/** Keeps the head of an answer and looks whether it goes on from those kept before; false when that has to wait. */
export async function watch(page: Page, { head, epoch, more }: SyncAnswer): Promise<boolean> {
  if (!head) return true;
  const held = await recall(page);
  const told: KeptHead = { ...head, epoch };
  let { heads, checked, doubt } = held;
  const before = heads.at(-1);
  if (!doubt && before && before.epoch !== epoch) {
    const size = await restoredTo(page, epoch);
    if (size === null && more) return false;
    // what the copy had is of this life too; what came after it is gone, and the restore says so
    if (size !== null) heads = heads.filter((row) => row.size <= size).map((row) => ({ ...row, epoch }));
    checked = 0;
  }
  const found = doubt ? null : await judge(page, heads.at(-1), checked, told);
  if (found === "fits") checked = Date.now();
  else if (found) doubt = { ...found, at: Date.now() };
  if (!doubt && !heads.some(({ signature }) => signature === head.signature))
    heads = [...heads, told].slice(-KEPT);
  await note(page, { heads, checked, ...(doubt ? { doubt } : {}) });
  return true;
}

/** False when it is to be said again: nobody was reached. */
async function sayToDesk(page: Page, { kind, kept, told }: Doubt): Promise<boolean> {
  try {
    await page.send("POST", "/api/log/doubts", { kind, kept, told }, (_answer): _answer is unknown => true);
    return true;
  } catch (error) {
    const { name } = error as Error;
    if (name !== "Problem" && name !== "NoNetwork") throw error;
    return name === "Problem"; // the office will not hear of it; this phone keeps telling whoever holds it
  }
}

/** The server has gone back, and says of no restore. */
export async function goneBackUnsaid(page: Page): Promise<void> {
  const held = await recall(page);
  if (held.doubt) return;
  const doubt: Doubt = { kind: "gone-back", at: Date.now(), kept: held.heads.at(-1) ?? null, told: null };
  await note(page, { ...held, doubt });
}

/** Keeps all of it, and tells of a doubt on this phone and, once it is reached, at the desk. */
async function note(page: Page, { doubt, ...rest }: Heads): Promise<void> {
  const told =
    doubt?.kept && !doubt.said && (await sayToDesk(page, doubt)) ? { ...doubt, said: true } : doubt;
  await page.withDatabase((db) => db.put("kept", { ...rest, ...(told ? { doubt: told } : {}) }, HEADS));
  page.show({ doubt: told?.kind ?? null });
}

async function recall(page: Page): Promise<Heads> {
  const held = (await page.withDatabase((db) => db.get("kept", HEADS))) as Heads | undefined;
  return held ?? { heads: [], checked: 0 };
}

type Found = Omit<Doubt, "at">;

/** Null where there is nothing to compare, or it was done within the hour. */
async function judge(
  page: Page,
  last: KeptHead | undefined,
  checked: number,
  told: KeptHead,
): Promise<Found | "fits" | null> {
  if (!(await genuine(told)) || (last && !sameKey(last, told)))
    return { kind: "forked", kept: last ?? null, told };
  if (!last) return null;
  if (last.epoch !== told.epoch) return { kind: "gone-back", kept: last, told };
  const soon = told.size > last.size && Date.now() - checked < HOURLY_MS;
  return soon ? null : compare(page, last, told);
}

async function compare(page: Page, kept: KeptHead, told: KeptHead): Promise<Found | "fits" | null> {
  if (told.size < kept.size) return { kind: "gone-back", kept, told };
  if (told.size === kept.size) return told.root === kept.root ? null : { kind: "forked", kept, told };
  const path = await pathBetween(page, kept.size, told.size);
  if (path === "no-network") return null;
  if (path === null) return { kind: "gone-back", kept, told };
  return (await consistent(kept, told, path)) ? "fits" : { kind: "forked", kept, told };
}

/** How many records the log had in the copy that began this life of it, by the server's own event; null without one. */
async function restoredTo(page: Page, epoch: string | undefined): Promise<number | null> {
  const rows = await page.withDatabase((db) =>
    db.getAllFromIndex("events", "type", page.subjectRange("log.restored")),
  );
  const said = rows.find(({ event }) => event.source === "/server" && event.data.epoch === epoch);
  return typeof said?.event.data.size === "number" ? said.event.data.size : null;
}

const isPath = (value: unknown): value is { readonly path: readonly string[] } =>
  typeof value === "object" &&
  value !== null &&
  "path" in value &&
  Array.isArray(value.path) &&
  value.path.every((step) => typeof step === "string" && /^[0-9a-f]{64}$/.test(step));

async function pathBetween(
  page: Page,
  first: number,
  second: number,
): Promise<readonly string[] | null | "no-network"> {
  try {
    return (await page.read(`/api/log/consistency?first=${first}&second=${second}`, isPath)).path;
  } catch (error) {
    const { name, status } = error as { name?: string; status?: number };
    if (name === "Problem" && status === 422) return null;
    if (name === "Problem" || name === "NoNetwork") return "no-network";
    throw error;
  }
}

/** Whether `path` shows that the log of `second` begins with that of `first`, which is smaller (RFC 9162 2.1.4.2). */
export async function consistent(
  first: Pick<TreeHead, "size" | "root">,
  second: Pick<TreeHead, "size" | "root">,
  path: readonly string[],
): Promise<boolean> {
  const steps = [...path];
  if (Number.isInteger(Math.log2(first.size))) steps.unshift(first.root);
  const [start, ...rest] = steps;
  if (start === undefined) return false;
  let at = first.size - 1;
  let last = second.size - 1;
  const up = (): void => {
    at = Math.floor(at / 2);
    last = Math.floor(last / 2);
  };
  while (at % 2 === 1) up();
  let [before, after] = [start, start];
  for (const step of rest) {
    if (last === 0) return false;
    if (at % 2 === 1 || at === last) {
      before = await joined(step, before);
      after = await joined(step, after);
      while (at % 2 === 0 && at > 0) up();
    } else after = await joined(after, step);
    up();
  }
  return last === 0 && before === first.root && after === second.root;
}

async function joined(left: string, right: string): Promise<string> {
  const pairs = `01${left}${right}`.match(/../g) ?? [];
  const bytes = Uint8Array.from(pairs, (pair) => Number.parseInt(pair, 16));
  const hash = new Uint8Array(await crypto.subtle.digest("SHA-256", bytes));
  return Array.from(hash, (byte) => byte.toString(16).padStart(2, "0")).join("");
}

const sameKey = (one: TreeHead, other: TreeHead): boolean =>
  one.log === other.log && one.key.x === other.key.x && one.key.y === other.key.y;

/** Whether a head is signed by the key it names. Its canonical text (RFC 8785) holds nothing that needs escaping. */
async function genuine({ key, log, root, signature, size, time }: TreeHead): Promise<boolean> {
  const { crv, kty, x, y } = key;
  const text = JSON.stringify({ key: { crv, kty, x, y }, log, root, size, time });
  const name = { name: "ECDSA", namedCurve: "P-256", hash: "SHA-256" };
  let imported: CryptoKey;
  try {
    imported = await crypto.subtle.importKey("jwk", { kty, crv, x, y }, name, false, ["verify"]);
  } catch (error) {
    if (error instanceof DOMException) return false; // no point of the curve
    throw error;
  }
  if (!/^[A-Za-z0-9_-]{86}$/.test(signature)) return false;
  const raw = atob(signature.replaceAll("-", "+").replaceAll("_", "/"));
  const bytes = Uint8Array.from(raw, (letter) => letter.charCodeAt(0));
  return crypto.subtle.verify(name, imported, bytes, ENCODER.encode(text));
}
