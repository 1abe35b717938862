/** What the loop seldom does, loaded only then: photos, going back with a server that was put back, being known to it again. */
import type { Problem, SyncAnswer } from "../api";
import type { JsonObject, OutboxRow } from "../log";
import * as log from "../log/back";
import type { Input } from "./decide";
import { goneBackUnsaid } from "./heads";
import type { Outcome, Page } from "./page";

export { queueMissing } from "../log/back";
export { setBack } from "../log/leap";
export { watch } from "./heads";
export { sendPhotos } from "./photos";

const AGAIN_MS = 60_000;
/** Room in an exchange for the procedures that events speak of. */
const PROCEDURES = 90_000;

/** Records of one exchange that are tried so often by themselves before the others go first. */
const TRIES = 3;

let rewound = false;
let known = Number.NEGATIVE_INFINITY;
const tried = new Map<string, number>();

/** What the server answers in quarantine when this device's chain has forked: it cannot go on. */
const FORKED = new Set(["chain-broken", "number-reused"]);

/** Whether this phone's own chain has; whatever becomes of a record it carries, it keeps its key. */
export function forked({ device, sent, answer }: Outcome): boolean {
  const texts = new Map(sent.map(({ id, text }) => [id, text]));
  return answer.results.some(
    ({ id, status, problem = "" }) =>
      status === "quarantined" &&
      FORKED.has(problem) &&
      texts.get(id)?.includes(`"source":"/devices/${device}"`),
  );
}

/** What to do about a whole exchange that was refused. */
export async function refused(page: Page, problem: Problem, sent: readonly OutboxRow[]): Promise<Input> {
  const { status, retryAfter } = problem;
  const [first] = sent;
  if (status === 401) return await unknown(page, problem);
  const brings = (await page.headNow())?.brings; // then none of the records went with it
  if (status === 413 && first && !brings) {
    if (sent.length > 1) return { kind: "too-large", sent: sent.length };
    await log.setAside(page, first, problem.detail);
    return { kind: "answered", more: true };
  }
  if ((status === 409 || status === 422) && (await goneBack(page, problem)))
    return { kind: "answered", more: true };
  if (retryAfter === null && first && !brings) {
    if (sent.length > 1) return { kind: "too-large", sent: sent.length };
    await triedAlone(page, first);
  }
  page.show({ trouble: retryAfter === null ? "turned-down" : "busy" });
  return failed(retryAfter);
}

/** The server does not take this phone's credential. */
async function unknown(page: Page, { said }: Problem): Promise<Input> {
  if ("revoked" in said && said.revoked === true) {
    await page.obeyRevocation();
    page.show({ trouble: "enrol" });
    return { kind: "disowned" };
  }
  const again = await knownAgain(page);
  if (again) return again;
  // it may pass, as a fault of what stands before the server does: it is asked again, ever more seldom
  page.show({ trouble: "enrol" });
  return failed(null);
}

const failed = (retryAfter: number | null): Input => ({ kind: "failed", chance: Math.random(), retryAfter });

/** What the server cannot take, whatever the cause, holds the others up three times; from then on it goes after them. */
async function triedAlone(page: Page, row: OutboxRow): Promise<void> {
  const times = (tried.get(row.id) ?? 0) + 1;
  tried.set(row.id, times);
  if (times < TRIES) return;
  await log.toTheEnd(page, row);
  const { undigested } = page.syncState.peek();
  if (!undigested.includes(row.id)) page.show({ undigested: [...undigested, row.id] });
}

/** An exchange was answered: what it took, it could digest, and a later fault is a new one. */
export function taken(page: Page, { answer, moved }: Outcome): void {
  if (moved) rewound = false;
  const settled = new Set(answer.results.map(({ id }) => id));
  for (const id of settled) tried.delete(id);
  page.show({ undigested: page.syncState.peek().undigested.filter((id) => !settled.has(id)) });
}

/** Goes back to where the server says that both logs are surely the same; true when it did. */
async function goneBack(page: Page, { status, said }: Problem): Promise<boolean> {
  if (status === 409) {
    const { shared, epoch } = said as { shared?: unknown; epoch?: unknown };
    if (typeof shared !== "string" || !/^\d{16}$/.test(shared) || typeof epoch !== "string") return false;
    if (epoch === (await page.headNow())?.epoch) await goneBackUnsaid(page);
    return log.goBack(page, shared, epoch);
  }
  // it only calls our cursor invalid; once a start, we believe that it was the cursor
  if (rewound) return false;
  rewound = true;
  return log.goBack(page);
}

/** What to put into an exchange: events that the server lost, and what this phone knows of those they speak of. */
export async function bring(page: Page, epoch: string | undefined): Promise<object> {
  const returned = await log.returning(page, epoch);
  if (returned.length === 0) return {};
  const reference = (await page.heldReference())?.reference as
    | { people?: readonly JsonObject[]; procedures?: readonly JsonObject[] }
    | undefined;
  const said = (type: string, name: string) =>
    new Set(returned.filter((event) => event.type === type).map((event) => event.data[name]));
  const persons = said("person.changed", "person");
  const hashes = said("procedure.published", "sha256");
  let room = PROCEDURES;
  return {
    returned,
    known: {
      people: (reference?.people ?? [])
        .filter(({ id }) => persons.has(id))
        .map(({ id, name }) => ({ id, name })),
      procedures: (reference?.procedures ?? []).filter((procedure) => {
        if (!hashes.has(procedure.sha256)) return false;
        room -= JSON.stringify(procedure).length;
        return room > 0;
      }),
    },
  };
}

/** Notes what the server took back. */
export async function brought(page: Page, { returned, epoch }: SyncAnswer): Promise<void> {
  await log.brought(page, returned ?? [], epoch);
}

/**
 * The server does not know this phone. If it was put back to a copy from before the phone was enrolled, its own event
 * that says so, which this phone holds or another has brought, and this phone's key make it known again. Null when the
 * server will not have it.
 */
async function knownAgain(page: Page): Promise<Input | null> {
  if (performance.now() - known < AGAIN_MS) return null;
  known = performance.now();
  const head = await page.headNow();
  const enrolled = (await log.ofServer(page)).find(
    ({ type, data }) => type === "device.enrolled" && data.device === head?.device,
  );
  if (!head) return null;
  const { brewery, device: id } = head;
  const time = new Date(Date.now() + head.offset).toISOString();
  const signature = await log.word(page, { purpose: "known-again", log: brewery, device: id, time });
  try {
    const said = { log: brewery, device: id, time, signature, ...(enrolled ? { enrolled } : {}) };
    await page.send("POST", "/api/devices/known", said, page.isEnrolled, [200]);
    return { kind: "answered", more: true };
  } catch (error) {
    const { name } = error as Error;
    if (name === "NoNetwork") {
      known = Number.NEGATIVE_INFINITY;
      page.show({ trouble: "no-network" });
      return failed(null);
    }
    if (name !== "Problem") throw error;
    return null;
  }
}
