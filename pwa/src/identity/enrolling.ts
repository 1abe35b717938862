/**
 * Enrolling, with a code: a new device with a new key. A phone whose storage was lost has begun a chain by itself since; the
 * office takes that as the new device's, and is told what was lost. Loaded when it is asked for; it imports nothing of the
 * page and is handed what it needs.
 */
import type * as Api from "../api";
import type * as Log from "../log";

export type Parts = Pick<typeof Log, "adopt" | "forget" | "headNow" | "makeKey" | "recall"> &
  Pick<typeof Api, "enrolDevice">;

const LOST = "lost";

export async function enrolBy(page: Parts, code: string, name: string): Promise<Log.Head> {
  const head = await page.headNow();
  const lost = await page.recall(LOST, isLost);
  const told = lost ? { lost: said(lost) } : {};
  const enrolled = head?.waits
    ? ((await asItself(page, code, name, head, told)) ?? (await anew(page, code, name, told)))
    : await anew(page, code, name, told);
  await page.forget(LOST);
  return enrolled;
}

async function anew(page: Parts, code: string, name: string, told: object): Promise<Log.Head> {
  const { sign, shown } = await page.makeKey();
  return page.adopt(await ask(page, code, name, shown, told), sign);
}

/** Null where the office has that id already, as when its last answer was lost: then it knows the chain begun with it. */
async function asItself(
  page: Parts,
  code: string,
  name: string,
  { device, waits }: Log.Head,
  told: object,
): Promise<Log.Head | null> {
  if (!waits) return null;
  try {
    return await page.adopt(await ask(page, code, name, waits.key, { ...told, device }));
  } catch (error) {
    if ((error as { kind?: unknown }).kind === "id-reused") return null;
    throw error;
  }
}

async function ask(page: Parts, code: string, name: string, key: Log.PublicKey, more: object) {
  const before = Date.now();
  const { device, brewery, now } = await page.enrolDevice(code, name, key, more);
  const reached = Date.now();
  return { device, brewery, name, reached, offset: Math.round(Date.parse(now) - (before + reached) / 2) };
}

type Lost = {
  readonly loss: string;
  readonly records: number;
  readonly torn: number;
  readonly was: string | null;
};
const said = ({ loss, records, torn, was }: Lost) => ({
  loss,
  records,
  torn,
  ...(was ? { device: was } : {}),
});
const isLost = (value: unknown): value is Lost => typeof (value as Partial<Lost> | null)?.loss === "string";
