/**
 * Making records. What holds when `append` has resolved: the event, its place in the outbox and the
 * new head are on disk, in one strict transaction that found the head as it was when signing began;
 * and then, where there is a journal, the signed text on a line of it.
 *
 * Web Lock `vesselside-log` keeps two tabs from signing on the same head; the comparison inside the
 * transaction keeps them from it even where a lock was lost. Signing happens outside the
 * transaction, since waiting for a signature inside it would close it.
 *
 * The journal comes after the transaction, never beside it: a line of a chain whose head had moved would be a fork.
 * Database and journal have five seconds each. What was not known to be saved by then is tried again as the very same
 * record when its caller asks again, so that it is never there twice.
 */

import { sha256, utf8 } from "./bytes";
import { canonical, checkSize, checkValue } from "./canonical";
import { tick } from "./clock";
import { type Database, database, drop } from "./database";
import { NotAccepted, NotSaved } from "./errors";
import { forgetStanding, remember, type Standing, standing } from "./head";
import { journal } from "./journal/journal";
import { sign } from "./key";
import { inTime } from "./limit";
import { tell } from "./notice";
import { LOCK, tailBack } from "./opening";
import type { Head, OutboxRow } from "./stores";
import type { Draft, SignedEvent, StoredEvent } from "./types";
import { uuid7 } from "./uuid";

type Made = { readonly event: SignedEvent; readonly outbox: OutboxRow };
type Chain = { readonly from: Head; readonly made: readonly Made[]; readonly head: Head };

/** What records about to be made will carry; the ids are more than will be needed. */
export type Stamp = {
  readonly time: string;
  readonly hlc: string;
  readonly source: string;
  readonly seen: string;
  readonly ids: readonly string[];
};

const MOST_MADE = 32;

/** What was made and is not known to be saved, by the draft, drafts or maker it was made of. */
const unsure = new WeakMap<object, Chain>();

export async function append(draft: Draft): Promise<StoredEvent> {
  const [event] = await appendMade(async () => [draft], 1, draft);
  if (event === undefined) throw new NotSaved("nothing was written");
  return event;
}

/** All of the drafts, chained in their order, or none of them. */
export const appendAll = (drafts: readonly Draft[]): Promise<StoredEvent[]> =>
  appendMade(async () => drafts, drafts.length, drafts);

/**
 * The drafts that `make` gives for the stamp they will carry, at most `most`, chained in their order, or none of them.
 * It is asked again, with another stamp, where the chain has moved under it. After NotSaved the same `make` (or `of`)
 * given again is the same act.
 */
export async function appendMade(
  make: (stamp: Stamp) => Promise<readonly Draft[]>,
  most = MOST_MADE,
  of: object = make,
): Promise<StoredEvent[]> {
  const made = await navigator.locks.request(LOCK, () => chainAndWrite(make, most, of));
  const events = made.map(({ event }) => event);
  const subjects = [...new Set(events.map((event) => event.subject))];
  tell({ subjects, made: true, events: events.map((event) => event.id) });
  return events;
}

async function chainAndWrite(
  make: (stamp: Stamp) => Promise<readonly Draft[]>,
  most: number,
  of: object,
): Promise<readonly Made[]> {
  await tailBack();
  for (let chain = unsure.get(of); ; chain = undefined) {
    chain ??= await draw(make, most);
    unsure.set(of, chain);
    const saved = await save(chain);
    if (saved) unsure.delete(of);
    if (saved) return chain.made;
    forgetStanding();
  }
}

async function draw(make: (stamp: Stamp) => Promise<readonly Draft[]>, most: number): Promise<Chain> {
  const mine = await inTime(standing());
  const now = Date.now();
  const stamp = stampFor(mine.head, now, most);
  const drafts = await make(stamp);
  for (const { type, subject, person, data } of drafts) checkValue({ type, subject, person, data });
  return makeChain(mine, drafts, stamp, now);
}

/** False when the head had moved: nothing was written. */
async function save(chain: Chain): Promise<boolean> {
  try {
    if (!(await inTime(writeTwice(chain)))) return false;
  } catch (error) {
    forgetStanding(); // whether it was written is not known
    throw error;
  }
  remember(chain.head);
  await journal(chain.made.map(({ outbox }) => outbox.text));
  return true;
}

const stampFor = (head: Head, now: number, most: number): Stamp => ({
  time: new Date(now).toISOString(),
  hlc: tick(head.hlc, now),
  source: `/devices/${head.device}`,
  seen: head.seen && head.seen > head.cursor ? head.seen : head.cursor,
  ids: Array.from({ length: most }, () => uuid7(now)),
});

async function makeChain(
  { head, key }: Standing,
  drafts: readonly Draft[],
  stamp: Stamp,
  now: number,
): Promise<Chain> {
  const made: Made[] = [];
  let last = head;
  for (const [at, draft] of drafts.entries()) {
    const id = stamp.ids[at];
    if (id === undefined) throw new NotAccepted("too-large", "more records at once than there are ids for");
    const unsigned = {
      specversion: "1.0" as const,
      id,
      source: stamp.source,
      type: draft.type,
      subject: draft.subject,
      time: stamp.time,
      person: draft.person,
      hlc: tick(last.hlc, now),
      seen: stamp.seen,
      number: last.number + 1,
      data: draft.data,
      prevhash: last.hash,
    };
    const text = canonical({ ...unsigned, signature: await sign(key, canonical(unsigned)) });
    checkSize(text);
    const event = JSON.parse(text) as SignedEvent;
    made.push({ event, outbox: { id: event.id, text, bytes: utf8(text).length } });
    last = { ...last, number: event.number, hash: await sha256(text), hlc: event.hlc };
  }
  return { from: head, made, head: last };
}

/** False when the head had moved. A dead handle is dropped and the same events are written once more. */
async function writeTwice(chain: Chain): Promise<boolean> {
  try {
    return await write(await database(), chain);
  } catch (first) {
    if (first instanceof NotSaved) throw first;
    await drop();
    try {
      return await write(await database(), chain);
    } catch (second) {
      if (second instanceof NotSaved) throw second;
      throw new NotSaved("this phone could not save the record", { cause: second });
    }
  }
}

async function write(db: Database, { from, made, head }: Chain): Promise<boolean> {
  const tx = db.transaction(["head", "events", "outbox"], "readwrite", { durability: "strict" });
  const stored = await tx.objectStore("head").get("mine");
  const events = tx.objectStore("events");
  if (stored === undefined || !sameStanding(stored, from)) {
    // written before, by a try of which nothing was heard: others may have gone on from it
    const [first] = made;
    const held = first && (await events.getKey(first.event.id));
    await tx.done;
    return held !== undefined;
  }
  const outbox = tx.objectStore("outbox");
  const puts = made.flatMap(({ event, outbox: row }) => [
    events.add({ event, mine: [head.device, event.number] }),
    outbox.add(row),
  ]);
  puts.push(tx.objectStore("head").put({ ...stored, ...moved(head) }, "mine"));
  await Promise.all([...puts, tx.done]);
  return true;
}

const moved = ({ number, hash, hlc }: Head) => ({ number, hash, hlc });

function sameStanding(a: Head, b: Head): boolean {
  return (
    a.device === b.device &&
    a.number === b.number &&
    a.hash === b.hash &&
    a.hlc === b.hlc &&
    a.cursor === b.cursor
  );
}
