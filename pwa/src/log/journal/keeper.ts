/**
 * What stands beside the journal's lines, and the end of old lines. Loaded a while after a page has started; it is handed the
 * log's inside.
 *
 * Of others a phone needs, to go on with no signal: the administration, the records of open runs, and what it had made of the
 * rest. Its own records are lines already. Secrets are not kept here, and no verifier of one.
 */
import type { Inner } from "../inner";
import type { StoredEvent } from "../types";
import type { KeptName, Old } from "./protocol";

const ADMIN = "/admin";
const KEPT_MS = 14 * 24 * 60 * 60_000;

/** Keeps what others made in these runs, and what is under these keys or begins with them. */
export async function keep(page: Inner, runs: readonly string[], keys: readonly string[]): Promise<void> {
  const head = await page.headNow();
  if (!head || head.given) return forget(page);
  const { device, brewery, name, offset, reached } = head;
  await page.keepBeside("enrolled", { device, brewery, name, offset, reached });
  const there = await page.ask<readonly KeptName[]>({ do: "names" });
  const reference = await page.heldReference();
  if (reference && there && !there.includes("reference")) await page.keepBeside("reference", reference);
  const source = `/devices/${device}`;
  const subjects = [ADMIN, ...runs.map(page.runSubject)];
  const found = await page.withDatabase(async (db) => {
    const tx = db.transaction(["events", "kept"]);
    const rows = await Promise.all(
      subjects.map((subject) => tx.objectStore("events").index("run").getAll(page.subjectRange(subject))),
    );
    const kept: [string, unknown][] = [];
    for (const key of await tx.objectStore("kept").getAllKeys())
      if (keys.some((each) => key.startsWith(each))) kept.push([key, await tx.objectStore("kept").get(key)]);
    return { events: rows.flat().map(({ event }) => event), kept };
  });
  const events = found.events.filter((event: StoredEvent) => event.source !== source);
  await page.keepBeside("others", { events, kept: found.kept });
  await endOld(page);
}

/** A phone that gave its credential up keeps nothing but records. */
async function forget(page: Inner): Promise<void> {
  for (const name of ["enrolled", "reference", "others"] as const) await page.keepBeside(name, null);
}

/** Deletes files of which nothing was written for 14 days, where the office has acknowledged each of their records. */
async function endOld(page: Inner): Promise<void> {
  const files = await page.ask<readonly Old[]>({ do: "old", before: Date.now() - KEPT_MS });
  if (!files || files.length === 0) return;
  const { held, waits } = await page.withDatabase(async (db) => {
    const tx = db.transaction(["events", "outbox", "aside"]);
    const aside = (await tx.objectStore("aside").getAll()).filter(({ kind }) => kind === "refused");
    const queued = await tx.objectStore("outbox").getAll();
    const held = new Set(await tx.objectStore("events").getAllKeys());
    return { held, waits: new Set([...aside, ...queued].map(({ id }) => id)) };
  });
  for (const { file, ids } of files)
    if (ids.every((id) => held.has(id) && !waits.has(id))) await page.ask({ do: "drop", file });
}
