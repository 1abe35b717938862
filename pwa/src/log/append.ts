/**
 * Making records. What holds when `append` has resolved: the event, its place in the outbox and the
 * new head are on disk, in one strict transaction that found the head as it was when signing began.
 *
 * Web Lock `vesselside-log` keeps two tabs from signing on the same head; the comparison inside the
 * transaction keeps them from it even where a lock was lost. Signing happens outside the
 * transaction, since waiting for a signature inside it would close it.
 */

import { sha256, utf8 } from "./bytes";
import { canonical, checkSize, checkValue } from "./canonical";
import { tick } from "./clock";
import { type Database, database, drop } from "./database";
import { NotSaved } from "./errors";
import { forgetStanding, remember, type Standing, standing } from "./head";
import { sign } from "./key";
import { tell } from "./notice";
import type { Head, OutboxRow } from "./stores";
import type { Draft, SignedEvent, StoredEvent } from "./types";
import { uuid7 } from "./uuid";

const LOCK = "vesselside-log";

type Made = { readonly event: SignedEvent; readonly outbox: OutboxRow };
type Chain = { readonly from: Head; readonly made: readonly Made[]; readonly head: Head };

export async function append(draft: Draft): Promise<StoredEvent> {
  const [event] = await appendAll([draft]);
  if (event === undefined) throw new NotSaved("nothing was written");
  return event;
}

/** All of the drafts, chained in their order, or none of them. */
export async function appendAll(drafts: readonly Draft[]): Promise<StoredEvent[]> {
  for (const { type, subject, person, data } of drafts) checkValue({ type, subject, person, data });
  const made = await navigator.locks.request(LOCK, () => chainAndWrite(drafts));
  tell({ subjects: [...new Set(drafts.map((draft) => draft.subject))], made: true });
  return made.map(({ event }) => event);
}

async function chainAndWrite(drafts: readonly Draft[]): Promise<readonly Made[]> {
  for (;;) {
    const chain = await makeChain(await standing(), drafts);
    if (await writeTwice(chain)) {
      remember(chain.head);
      return chain.made;
    }
    forgetStanding();
  }
}

async function makeChain({ head, key }: Standing, drafts: readonly Draft[]): Promise<Chain> {
  const made: Made[] = [];
  let last = head;
  for (const draft of drafts) {
    const now = Date.now();
    const unsigned = {
      specversion: "1.0" as const,
      id: uuid7(now),
      source: `/devices/${head.device}`,
      type: draft.type,
      subject: draft.subject,
      time: new Date(now).toISOString(),
      person: draft.person,
      hlc: tick(last.hlc, now),
      seen: head.cursor,
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
  if (stored?.hash === head.hash && stored.number === head.number) {
    await tx.done;
    return true;
  }
  if (stored === undefined || !sameStanding(stored, from)) {
    await tx.done;
    return false;
  }
  const events = tx.objectStore("events");
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
