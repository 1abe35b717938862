/**
 * Records carried from phone to phone as text, where neither has a signal. The events travel whole,
 * with their own devices' signatures; whichever phone reaches the server first delivers them. A
 * signature is checked here when the device's key is known; of a device newer than this phone's last
 * reference only the server can judge.
 */
import { unwrap } from "idb";
import { utf8 } from "./bytes";
import { canonical, chainText, checkSize, checkValue } from "./canonical";
import { merge } from "./clock";
import { type Database, withDatabase } from "./database";
import { isEvent } from "./envelope";
import { NotAccepted, NotEnrolled } from "./errors";
import { standing } from "./head";
import { inner } from "./inner";
import { verified } from "./key";
import { tell } from "./notice";
import { admin, eventsOf, ofType } from "./query";
import { addUnlessHeld } from "./receive";
import { deviceKeys } from "./reference";
import { ADMIN, SERVER } from "./subjects";
import type { StoredEvent } from "./types";

/**
 * One event a line, canonical, in order; the sign-ins on the phones they were made on come first. One that something
 * was taken out of stays behind: no phone could judge its signature, and the server has it.
 */
export async function exportRun(run: string): Promise<string> {
  const events = (await eventsOf(run)).filter(({ redacted }) => redacted === undefined);
  const signs = (await admin()).filter(({ source }) => events.some((event) => event.source === source));
  return [...signs, ...events].map((event) => `${chainText(event)}\n`).join("");
}

/** What waits for the office, as it would be sent; whichever phone or desk takes it in delivers it. */
export async function exportUnsent(): Promise<string> {
  const rows = await withDatabase((db) => db.getAll("outbox"));
  return rows.map(({ text }) => `${text}\n`).join("");
}

/** Takes over carried records, all or none; those not held yet are also queued for the server. */
export async function importText(text: string): Promise<{ taken: number; held: number }> {
  const events = text.split("\n").flatMap((line, at) => (line.trim() ? [parse(line, at + 1)] : []));
  await standing();
  await checkSignatures(events);
  const taken = await withDatabase((db) => write(db, events));
  const redactions = await ofType("event.redacted");
  if (redactions.length > 0) await (await import("./redacted")).takeOut(inner, redactions);
  tell({ subjects: [...new Set(events.map((event) => event.subject))], made: taken > 0 });
  return { taken, held: events.length - taken };
}

function parse(line: string, at: number): StoredEvent {
  let value: unknown;
  try {
    value = JSON.parse(line);
  } catch (cause) {
    throw new NotAccepted("bad-value", `line ${at} is no record`, { cause });
  }
  if (!isEvent(value) || !isCarried(value)) {
    throw new NotAccepted("bad-value", `line ${at} is no record`);
  }
  checkValue(value);
  checkSize(line);
  return value;
}

/** What a phone makes: of the administration its sign-ins alone. */
const isCarried = ({ source, subject, type, redacted }: StoredEvent): boolean =>
  redacted === undefined && source !== SERVER && (subject !== ADMIN || /signed/.test(type));

/** The canonical text a signature covers. */
function signedText(event: StoredEvent): string {
  const { sequence: _sequence, recordedtime: _recordedtime, signature: _signature, ...unsigned } = event;
  return canonical(unsigned);
}

async function checkSignatures(events: readonly StoredEvent[]): Promise<void> {
  const keys = await deviceKeys();
  for (const event of events) {
    const key = keys.get(event.source);
    if (key && !(await verified(key, signedText(event), event.signature))) {
      throw new NotAccepted("bad-signature", "a record is not as its device signed it");
    }
  }
}

async function write(db: Database, events: readonly StoredEvent[]): Promise<number> {
  const tx = db.transaction(["events", "outbox", "head"], "readwrite", { durability: "strict" });
  const head = await tx.objectStore("head").get("mine");
  if (head === undefined) throw new NotEnrolled();
  const outbox = unwrap(tx.objectStore("outbox"));
  let taken = 0;
  for (const event of events) {
    addUnlessHeld(unwrap(tx.objectStore("events")), { event }, () => {
      const text = chainText(event);
      outbox.add({ id: event.id, text, bytes: utf8(text).length });
      taken += 1;
    });
  }
  const remotes = events.map((event) => event.hlc);
  const hlc = merge(head.hlc, remotes, Date.now() + head.offset);
  void tx.objectStore("head").put({ ...head, hlc }, "mine");
  await tx.done;
  return taken;
}
