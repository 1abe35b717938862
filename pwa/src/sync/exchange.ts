/** One push and pull: what to send, and taking over what came back. */
import { exchange as post, type SyncAnswer } from "../api";
import { batch, type Head, headNow, NotEnrolled, type OutboxRow, receive, runSubject } from "../log";
import { type Outcome, page } from "./page";

/** Below the server's 256 kB, with room for what stands around the events. */
const BATCH_BYTES = 250_000;
/** With these the log is to be signed as it then stands: a run's end is in a head that this phone keeps. */
const ENDS = /"type":"run\.[far]/;

export const nextBatch = (count: number): Promise<OutboxRow[]> => batch(count, BATCH_BYTES);

/** Pushes what is `sent` and pulls up to `limit` events. */
export async function exchangeOnce(
  sent: readonly OutboxRow[],
  fetch: readonly string[],
  limit: number,
): Promise<Outcome> {
  const head = await headNow();
  if (head === null) throw new NotEnrolled();
  // what the server lost goes first and by itself: the records that follow may be by people and phones it speaks of
  const back = head.brings ? await import("./back") : null;
  const more = back ? await back.bring(page, head.epoch) : {};
  const pushed = back ? [] : sent;
  const sign = ENDS.test(pushed.map(({ text }) => text).join()) && { head: true };
  const before = Date.now();
  const answer = await post(
    body(head, pushed, { ...more, ...sign, limit, ...(fetch.length > 0 ? { fetch } : {}) }),
  );
  const reached = Date.now();
  if (answer.events.some(({ type }) => type === "event.redacted"))
    await (await import("./redacted")).takeOut(page, answer.events);
  const { lost, leapt } = await receive({
    sent: pushed,
    results: answer.results,
    events: answer.events,
    cursor: answer.cursor,
    leaf: answer.at,
    epoch: answer.epoch,
    offset: Math.round(Date.parse(answer.now) - (before + reached) / 2),
    at: reached,
  });
  await back?.brought(page, answer);
  const settled = new Set(answer.results.map((result) => result.id));
  const moved = back !== null || answer.cursor > head.cursor || sent.some((row) => settled.has(row.id));
  return { device: head.device, sent: pushed, answer, moved, lost, leapt };
}

/** The events travel as the very text that was signed. */
function body({ cursor, at, epoch }: Head, sent: readonly OutboxRow[], more: object): string {
  const frame = { ...more, cursor, at, epoch, clock: new Date().toISOString() };
  return `${JSON.stringify(frame).slice(0, -1)},"events":[${sent.map((row) => row.text).join(",")}]}`;
}

/** Which of a run's events an answer brought. */
export function idsOf(run: string, answer: SyncAnswer): Set<string> {
  const subject = runSubject(run);
  return new Set(answer.events.filter((event) => event.subject === subject).map((event) => event.id));
}
