/** Signing in: by the server when it answers, otherwise by what this phone kept from the last time. */
import {
  beginSession,
  checkSecret,
  NoNetwork,
  Problem,
  type ReferencePerson,
  type Role,
  reference,
  type Secret,
} from "../api";
import { append, forget, headNow, keep, recall, receive, type StoredEvent } from "../log";
import { device } from "./device";
import { begunThere, endThere } from "./ending";
import { beginHere, current, endHere, type Person } from "./session";
import { dropIfStale, keepOnly, makeVerifier, outdate, verify } from "./verifier";

export type SignInAnswer =
  | { readonly ok: true; readonly person: Person; readonly online: boolean }
  | {
      readonly ok: false;
      readonly why: "wrong" | "wait" | "no-verifier" | "lapsed" | "not-enrolled" | "unknown-person";
      /** when the next try is allowed, by this phone's clock */
      readonly until?: number;
    };

export const people = (): readonly ReferencePerson[] => reference.value?.people ?? [];

/** Makes this person the one who holds the phone. */
export async function signIn(person: string, secret: string): Promise<SignInAnswer> {
  const answer = await judge(person, secret, (id, named) => begunThere(() => beginSession(id, named)));
  if (answer.ok) await beginHere(answer.person);
  return answer;
}

/** Opens the lock again, for the person who is signed in. */
export async function unlock(secret: string): Promise<SignInAnswer> {
  const person = current.peek();
  return person ? signIn(person.id, secret) : { ok: false, why: "unknown-person" };
}

/**
 * Makes this person the one who holds a phone that lost its storage, and with it all by which it could judge a PIN. The office
 * marks what they record as not proved. Managers do not go on so.
 */
export async function goOnAs({ id, role }: ReferencePerson): Promise<void> {
  const person = people().find((known) => known.id === id);
  if (!person || role === "manager" || !device.peek()?.was) return;
  await beginHere(person); // and no sign-in is written down: nobody gave a secret
}

/** Judges a second person's secret for their signature; the session of who holds the phone goes on. */
export function verifyPerson(person: string, secret: string): Promise<SignInAnswer> {
  return judge(person, secret, checkSecret);
}

/** Ends the session here, and at the server as soon as it can be reached. Deletes no record. */
export async function signOut(): Promise<void> {
  const person = current.peek();
  try {
    if (person) await told(person.id, "out");
  } finally {
    await endHere();
    await endThere();
  }
}

/**
 * Goes by a new reference: who has left is signed out here, and nobody can sign in with no signal who has left or is a
 * manager, whose password no phone keeps anything of.
 */
export async function goByPeople(): Promise<void> {
  if (reference.value === null) return;
  const known = people();
  const held = current.peek()?.id;
  if (held && !known.some(({ id }) => id === held)) await endHere();
  await keepOnly(new Set(known.filter(({ role }) => role !== "manager").map(({ id }) => id)));
}

/** Goes by what the office told of secrets: the one from before is good with no signal no longer. */
export async function goBySecrets(events: readonly StoredEvent[]): Promise<void> {
  for (const { type, data, recordedtime } of events)
    if (type === "person.secret-set" && typeof data.person === "string")
      await outdate(data.person, Date.parse(recordedtime ?? ""));
}

/** Writes down here that a person gave their secret, to the server in a role or `offline`, or signed `out`. */
const told = async (person: string, as: Role | "offline" | "out", event?: StoredEvent): Promise<void> =>
  (await import("./presence")).tell({ append, forget, headNow, keep, recall, receive }, person, as, event);

type Ask = typeof beginSession;

async function judge(id: string, secret: string, ask: Ask): Promise<SignInAnswer> {
  const person = people().find((known) => known.id === id);
  if (!person) return { ok: false, why: "unknown-person" };
  try {
    return await judgeOnline(person, secret, ask);
  } catch (error) {
    if (error instanceof NoNetwork) return judgeOffline(person, secret);
    if (error instanceof Problem) return turnedDown(error, person, secret);
    throw error;
  }
}

async function judgeOnline(person: ReferencePerson, secret: string, ask: Ask): Promise<SignInAnswer> {
  const { role, event } = await ask(person.id, named(person, secret));
  if (role !== "manager") await makeVerifier(person.id, secret);
  await told(person.id, role, event);
  return { ok: true, person: { ...person, role }, online: true };
}

async function judgeOffline(person: ReferencePerson, secret: string): Promise<SignInAnswer> {
  const verdict = await verify(person.id, secret);
  if (!verdict.ok) return verdict;
  await told(person.id, "offline");
  return { ok: true, person, online: false };
}

async function turnedDown(problem: Problem, person: ReferencePerson, secret: string): Promise<SignInAnswer> {
  if (problem.status === 401) return { ok: false, why: "not-enrolled" };
  if (problem.status === 429) {
    return { ok: false, why: "wait", until: Date.now() + (problem.retryAfter ?? 60_000) };
  }
  if (problem.status >= 500) return judgeOffline(person, secret);
  await dropIfStale(person.id, secret);
  return { ok: false, why: "wrong" };
}

/** A manager has a password, everyone else a PIN. */
const named = ({ role }: ReferencePerson, secret: string): Secret =>
  role === "manager" ? { password: secret } : { pin: secret };
