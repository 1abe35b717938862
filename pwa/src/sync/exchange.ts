/** One push and pull: what to send, and taking over what came back. */
import { exchange as post, type SyncAnswer } from "../api";
import { batch, type Head, headNow, NotEnrolled, type OutboxRow, receive, runSubject } from "../log";

/** Below the server's 256 kB, with room for what stands around the events. */
const BATCH_BYTES = 250_000;
const PAGE = 500;

export type Outcome = {
  readonly sent: readonly OutboxRow[];
  readonly answer: SyncAnswer;
  /** something was settled or the cursor moved, so asking again at once will bring more */
  readonly moved: boolean;
  /** the server holds events of this device that this phone does not: its log was lost */
  readonly lost: boolean;
};

export const nextBatch = (count: number): Promise<OutboxRow[]> => batch(count, BATCH_BYTES);

export async function exchangeOnce(sent: readonly OutboxRow[], fetch: readonly string[]): Promise<Outcome> {
  const head = await headNow();
  if (head === null) throw new NotEnrolled();
  const before = Date.now();
  const answer = await post(body(head, sent, fetch, before));
  const at = Date.now();
  const { lost } = await receive({
    sent,
    results: answer.results,
    events: answer.events,
    cursor: answer.cursor,
    offset: Math.round(Date.parse(answer.now) - (before + at) / 2),
    at,
  });
  const settled = new Set(answer.results.map((result) => result.id));
  const moved = answer.cursor > head.cursor || sent.some((row) => settled.has(row.id));
  return { sent, answer, moved, lost };
}

/** The events travel as the very text that was signed. */
function body(head: Head, sent: readonly OutboxRow[], fetch: readonly string[], now: number): string {
  const frame = {
    cursor: head.cursor,
    limit: PAGE,
    clock: new Date(now).toISOString(),
    ...(fetch.length > 0 ? { fetch } : {}),
  };
  return `${JSON.stringify(frame).slice(0, -1)},"events":[${sent.map((row) => row.text).join(",")}]}`;
}

/** Which of a run's events an answer brought. */
export function idsOf(run: string, answer: SyncAnswer): Set<string> {
  const subject = runSubject(run);
  return new Set(answer.events.filter((event) => event.subject === subject).map((event) => event.id));
}
