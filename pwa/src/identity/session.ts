/**
 * Who holds this phone. A session outlives a reload; after 15 idle minutes it is locked, not lost,
 * and a tab that ends or locks it does so for all of them. Locking ends the session at the server.
 */
import { computed, type ReadonlySignal, type Signal, signal } from "@preact/signals";
import { type Role, reference } from "../api";
import { forget, keep, recall } from "../log";
import { endThere } from "./ending";

const IDLE_MS = 15 * 60_000;
const LOOK_MS = 10_000;
const KEY = "session";

export type Person = { readonly id: string; readonly name: string; readonly role: Role };
type Session = { readonly person: Person; readonly touched: number; readonly locked: boolean };

const session: Signal<Session | null> = signal(null);
const channel = new BroadcastChannel("vesselside-session");
let lastKept = 0;

/** The person, with the name and role that the last reference gives. */
export const current: ReadonlySignal<Person | null> = computed(() => {
  const held = session.value?.person;
  if (!held) return null;
  return reference.value?.people.find(({ id }) => id === held.id) ?? held;
});

export const locked: ReadonlySignal<boolean> = computed(() => session.value?.locked ?? false);

export async function loadSession(): Promise<void> {
  show((await recall(KEY, isSession)) ?? null);
}

export async function beginHere(person: Person): Promise<void> {
  await store({ person, touched: Date.now(), locked: false });
}

export async function endHere(): Promise<void> {
  session.value = null;
  await forget(KEY);
  channel.postMessage(null);
}

/** Any input of the person's: starts the 15 minutes again, unless they are already over. */
export function touched(): void {
  const held = session.peek();
  if (!held || held.locked || idle(held)) {
    lookAgain();
    return;
  }
  session.value = { ...held, touched: Date.now() };
  if (Date.now() - lastKept > LOOK_MS) keepOn({ ...held, touched: Date.now() });
}

function lookAgain(): void {
  const held = session.peek();
  if (!held || held.locked || !idle(held)) return;
  keepOn({ ...held, locked: true });
  // a PIN's session opens nothing there; a password's opens the desk
  if (held.person.role === "manager") endThere().catch(console.error);
}

const idle = (held: Session): boolean => Math.abs(Date.now() - held.touched) > IDLE_MS;

/** What was touched or locked holds on the screen even where it cannot be kept. */
const keepOn = (next: Session): void => void store(next).catch(console.error);

async function store(next: Session): Promise<void> {
  session.value = next;
  lastKept = Date.now();
  await keep(KEY, next);
  channel.postMessage(next);
}

function show(held: Session | null): void {
  session.value = held;
  lookAgain();
}

function isSession(value: unknown): value is Session {
  return (
    typeof value === "object" &&
    value !== null &&
    "person" in value &&
    "touched" in value &&
    typeof value.touched === "number" &&
    "locked" in value &&
    typeof value.locked === "boolean"
  );
}

channel.onmessage = ({ data }: MessageEvent<unknown>) => show(isSession(data) ? data : null);
setInterval(lookAgain, LOOK_MS);
document.addEventListener("visibilitychange", lookAgain);
