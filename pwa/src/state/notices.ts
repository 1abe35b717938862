/**
 * What the office has this phone told while the app is shut: which kinds, and when not. Kept here, and told to the
 * office whenever the app starts, so that neither a new key of the office nor a new person at the phone goes unheard.
 */
import { effect, signal } from "@preact/signals";
import { NoNetwork, Problem, type Role, read, send } from "../api";
import { current } from "../identity";
import { forget, keep, recall } from "../log";

export const KINDS = [
  "hold-over",
  "second-wanted",
  "standing",
  "vessel-held",
  "deviation",
  "proof-ends",
  "check-overdue",
] as const;
export type Kind = (typeof KINDS)[number];
/** `quiet` in minutes of the day, over midnight where the end comes first. */
export type Wanted = {
  readonly kinds: readonly Kind[];
  readonly quiet: { readonly from: number; readonly to: number } | null;
};
export type Able = "yes" | "blocked" | "install" | "never";
export type Outcome = "done" | "blocked" | "no-signal" | "no-service";

/** null: nothing is wanted here; undefined: not looked up yet. */
export const wanted = signal<Wanted | null | undefined>(undefined);

const KEY = "notices";
const PATIENCE_MS = 15_000;
const isNumber = (value: unknown): value is number => typeof value === "number";
const isKey = (value: unknown): value is { readonly key: string } =>
  typeof value === "object" && value !== null && "key" in value && typeof value.key === "string";
const isNothing = (value: unknown): value is null => value === null;

function isWanted(value: unknown): value is Wanted {
  if (typeof value !== "object" || value === null || !("kinds" in value && "quiet" in value)) return false;
  const { kinds, quiet } = value as { kinds: unknown; quiet: { from?: unknown; to?: unknown } | null };
  const known = Array.isArray(kinds) && kinds.every((kind) => (KINDS as readonly unknown[]).includes(kind));
  return known && (quiet === null || (isNumber(quiet?.from) && isNumber(quiet?.to)));
}

/** What somebody of a role is told of unless they say otherwise. */
export function usual(role: Role): readonly Kind[] {
  if (role === "starter") return ["hold-over"];
  return role === "brewer" ? ["hold-over", "second-wanted", "standing", "proof-ends"] : KINDS;
}

/** Whether this browser can be told anything while the app is shut; on some phones only once it is installed. */
export function able(): Able {
  if (!("serviceWorker" in navigator)) return "never";
  if (!("PushManager" in window && "Notification" in window))
    return "standalone" in navigator && !navigator.standalone ? "install" : "never";
  return Notification.permission === "denied" ? "blocked" : "yes";
}

export async function lookUp(): Promise<void> {
  wanted.value = (await recall(KEY, isWanted)) ?? null;
}

/** Asks the person, the browser and the office, in this order; what is wanted counts once all three agree. */
export async function want(next: Wanted): Promise<Outcome> {
  if ((await Notification.requestPermission()) !== "granted") return "blocked";
  const outcome = await tell(next);
  if (outcome !== "done") return outcome;
  await keep(KEY, next);
  wanted.value = next;
  return "done";
}

/** The office hears it now or, with no signal, when what it sends is refused by the browser. */
export async function wantNone(): Promise<void> {
  const held = await (await navigator.serviceWorker.ready).pushManager.getSubscription();
  await held?.unsubscribe();
  await forget(KEY);
  wanted.value = null;
  await send("DELETE", "/api/push/subscription", {}, isNothing).catch(console.error);
}

/** Tells the office anew at every start, and when another person takes the phone. */
export async function followNotices(): Promise<void> {
  await lookUp();
  let told: string | null = null;
  effect(() => {
    const person = current.value?.id ?? null;
    const held = wanted.value;
    if (!held || person === null || person === told || able() !== "yes") return;
    told = person;
    tell(held).catch(console.error);
  });
}

async function tell({ kinds, quiet }: Wanted): Promise<Outcome> {
  try {
    const { key } = await read("/api/push/key", isKey);
    const subscription = await subscribed(key);
    const { endpoint, keys } = subscription.toJSON();
    const offset = -new Date().getTimezoneOffset();
    const body = { endpoint, keys, kinds, quiet: quiet && { ...quiet, offset }, person: current.peek()?.id };
    await send("PUT", "/api/push/subscription", body, isNothing);
    return "done";
  } catch (error) {
    console.error(error);
    if (error instanceof NoNetwork) return "no-signal";
    if (error instanceof Problem) return error.status === 401 ? "no-signal" : "no-service";
    if (error instanceof DOMException) return error.name === "NotAllowedError" ? "blocked" : "no-service";
    throw error;
  }
}

/** The subscription under the office's key: one under a key that it has lost is given up. */
async function subscribed(key: string): Promise<PushSubscription> {
  const { pushManager } = await navigator.serviceWorker.ready;
  const held = await pushManager.getSubscription();
  if (held && encoded(held.options.applicationServerKey) !== key) await held.unsubscribe();
  return within(pushManager.subscribe({ userVisibleOnly: true, applicationServerKey: key }));
}

/** A browser with no push service behind it may answer nothing at all. */
function within<T>(promise: Promise<T>): Promise<T> {
  const { promise: late, reject } = Promise.withResolvers<never>();
  const timer = setTimeout(() => reject(new DOMException("no answer", "TimeoutError")), PATIENCE_MS);
  return Promise.race([promise, late]).finally(() => clearTimeout(timer));
}

/** Unpadded base64url. */
const encoded = (bytes: ArrayBuffer | null): string =>
  btoa(String.fromCharCode(...new Uint8Array(bytes ?? new ArrayBuffer(0))))
    .replaceAll("+", "-")
    .replaceAll("/", "_")
    .replaceAll("=", "");
