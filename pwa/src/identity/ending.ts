/**
 * The session at the server ends when this browser is locked or signed out of, also where that was done with no
 * signal: it is owed, and paid at the next contact. One tab at a time begins or ends it, so that no late ending
 * takes back the cookie of a session just begun.
 */
import { endSession, NoNetwork, Problem } from "../api";
import { forget, keep, recall } from "../log";

const KEY = "session-end-owed";
const LOCK = "vesselside-session";

const isOwed = (value: unknown): value is true => value === true;

/** Notes that the session is to end there, and ends it if the server can be reached. */
export async function endThere(): Promise<void> {
  await keep(KEY, true);
  await payEnding();
}

/** Ends the session at the server if that is still owed. */
export function payEnding(): Promise<void> {
  return oneAtATime(async () => {
    if (!(await recall(KEY, isOwed))) return;
    try {
      await endSession();
    } catch (error) {
      if (error instanceof NoNetwork) return;
      if (!(error instanceof Problem)) throw error;
      if (error.status !== 401) return; // a device no longer enrolled has no session left either
    }
    await forget(KEY);
  });
}

/** Begins a session at the server, which ends the one before it. */
export function begunThere<T>(begin: () => Promise<T>): Promise<T> {
  return oneAtATime(async () => {
    const answer = await begin();
    await forget(KEY);
    return answer;
  });
}

async function oneAtATime<T>(work: () => Promise<T>): Promise<T> {
  return await navigator.locks.request(LOCK, work);
}
