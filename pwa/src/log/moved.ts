/**
 * Taking on a new identity, loaded only then. What a phone holds belongs to the brewery that it was enrolled at: of another
 * one nothing is shown or sent here. Its records stay, and are laid by with its photos until the phone comes back to it.
 *
 * It is handed what it needs of the page: an import of it would have the bundler split the page's own code in two.
 */
import type { IDBPTransaction } from "idb";
import type { Database } from "./database";
import type { Inner } from "./inner";
import type { Head, OutboxRow, Stores } from "./stores";

const LAID_BY = "laid-by:";
/** What is kept of its server's log: what was to be brought back to it, and its heads with what is doubted of them. */
const OF_SERVER = ["returning", "heads"] as const;
const ZERO_CLOCK = "000000000000-0000";

export type Identity = Pick<Head, "device" | "brewery" | "name" | "offset" | "reached">;
type LaidBy = {
  readonly outbox: readonly OutboxRow[];
  readonly photos: readonly string[];
  readonly kept: Readonly<Record<string, unknown>>;
};

const MOVING = ["events", "outbox", "photos", "kept", "head", "keys"] as const;
type Moving = IDBPTransaction<Stores, typeof MOVING, "readwrite">;
const moving = (db: Database): Moving => db.transaction(MOVING, "readwrite", { durability: "strict" });

/** What an earlier identity recorded stays, and stays queued where the brewery is the same; so does a chain with no key given. */
export async function adopt(page: Inner, identity: Identity, key?: CryptoKey): Promise<Head> {
  const { head, moved } = await page.withDatabase(async (db) => {
    const tx = moving(db);
    const old = await tx.objectStore("head").get("mine");
    const moved = old !== undefined && old.brewery !== identity.brewery;
    const sign = key ?? (await tx.objectStore("keys").get("sign"));
    if (!sign) throw new Error("no key to go on with");
    const brings = moved && (await move(tx, old.brewery, identity.brewery));
    const goesOn = key === undefined && !moved && old;
    const head: Head = {
      ...identity,
      number: goesOn ? goesOn.number : 0,
      hash: goesOn ? goesOn.hash : "0".repeat(64),
      hlc: stampOf(page, identity, old),
      ...(old && !moved
        ? { cursor: old.cursor, at: old.at, epoch: old.epoch, brings: old.brings ?? false, seen: old.seen }
        : { cursor: "0".repeat(16), brings }),
      laidBy: await count(tx),
    };
    void tx.objectStore("head").put(head, "mine");
    void tx.objectStore("keys").put(sign, "sign");
    await tx.done;
    return { head, moved };
  });
  page.forgetStanding();
  await page.keepBeside("enrolled", identity);
  if (moved) page.tell({ subjects: [], made: true });
  return head;
}

/** No earlier than anything this phone holds, but for a stamp of a clock that had leapt ahead of the server's. */
function stampOf(page: Inner, { reached, offset }: Identity, old: Head | undefined): string {
  const hlc = old?.hlc ?? ZERO_CLOCK;
  return page.mergeable(hlc, reached + offset) ? hlc : page.write(reached + offset);
}

/** True when there is something to bring back to the server of the brewery that the phone comes to. */
async function move(tx: Moving, from: string, to: string): Promise<boolean> {
  await layBy(tx, from);
  // the board was worked out of what does not count here
  for (const name of ["board", IDBKeyRange.bound("life:", "life:\uffff")])
    void tx.objectStore("kept").delete(name);
  const held = (await tx.objectStore("kept").get(LAID_BY + to)) as LaidBy | undefined;
  const events = tx.objectStore("events");
  for (const { of, ...row } of await events.getAll()) {
    if (of === undefined) void events.put({ ...row, of: from });
    else if (of === to) void events.put(row);
  }
  for (const { id, text, bytes } of held?.outbox ?? [])
    void tx.objectStore("outbox").add({ id, text, bytes });
  for (const sha256 of held?.photos ?? []) {
    const row = await tx.objectStore("photos").get(sha256);
    if (row) void tx.objectStore("photos").put({ ...row, unsent: 1 });
  }
  for (const [name, value] of Object.entries(held?.kept ?? {})) void tx.objectStore("kept").put(value, name);
  void tx.objectStore("kept").delete(LAID_BY + to);
  return held?.kept.returning !== undefined;
}

async function layBy(tx: Moving, brewery: string): Promise<void> {
  const [outbox, photos, kept] = [tx.objectStore("outbox"), tx.objectStore("photos"), tx.objectStore("kept")];
  const rows = await photos.index("unsent").getAll();
  for (const { unsent: _unsent, ...row } of rows) void photos.put(row);
  const values: Record<string, unknown> = {};
  for (const name of OF_SERVER) {
    const value = await kept.get(name);
    if (value !== undefined) values[name] = value;
    void kept.delete(name);
  }
  const held: LaidBy = {
    outbox: await outbox.getAll(),
    photos: rows.map((row) => row.sha256),
    kept: values,
  };
  void outbox.clear();
  void kept.put(held, LAID_BY + brewery);
}

/** How many records are laid by, for whatever brewery. */
async function count(tx: Moving): Promise<number> {
  const range = IDBKeyRange.bound(LAID_BY, `${LAID_BY}\uffff`);
  const held = (await tx.objectStore("kept").getAll(range)) as LaidBy[];
  return held.reduce((sum, { outbox }) => sum + outbox.length, 0);
}
