/**
 * Sign-ins as records of this phone's own: they are what later proves that the person named in a record was there. The
 * server's word of it is kept at once, so that what is made next comes after it; an unlocking within 12 hours of a sign-in is
 * the same one. Loaded when somebody signs in; it imports nothing of the page and is handed its log.
 */
import type { Role } from "../api";
import type * as Log from "../log";

type Kept = Pick<typeof Log, "append" | "forget" | "headNow" | "keep" | "recall" | "receive">;

const AGAIN_MS = 12 * 60 * 60_000;
type As = Role | "offline" | "out";
type Said = { readonly at: number; readonly how: string };

/**
 * Records that this person gave their secret here, to the server in a role or `offline`, or that they signed `out`.
 * `event` is the server's own record of a sign-in, where it was asked.
 */
export async function tell(log: Kept, person: string, as: As, event?: Log.StoredEvent): Promise<void> {
  const head = await log.headNow();
  const [key, offset, now] = [`present:${head?.device}:${person}`, head?.offset ?? 0, Date.now()];
  const record = (type: string, way: string) =>
    log.append({ type, subject: "/admin", person, data: { person, how: way } });
  const said = await log.recall(key, isSaid);
  if (as === "out") {
    await record("person.signed-out", said?.how ?? "offline");
    return log.forget(key);
  }
  if (event) await log.receive({ sent: [], results: [], events: [event], cursor: "", offset, at: now });
  if (said && Math.abs(now - said.at) < AGAIN_MS) return;
  // a manager has a password, everyone else a PIN
  const how = as === "manager" ? "password" : as === "offline" ? as : "pin";
  await record("person.signed-in", how);
  await log.keep(key, { at: now, how } satisfies Said);
}

const isSaid = (value: unknown): value is Said => typeof (value as Partial<Said> | null)?.at === "number";
