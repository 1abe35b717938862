/** Sends what photos wait, after the events that name them; what becomes of one holds up no event and no other photo. */
import type { Problem } from "../api";
import { sendPhoto } from "../api/upload";
import type { Page } from "./page";

const FIRST_MS = 2_000;
const END_MS = 10 * 60_000;
/** How long the records of others are kept waiting for a photo that is on its way. */
const PATIENCE_MS = 15_000;

/** By its hash: from when on a photo that failed is tried again, and how long it was let rest. */
const resting = new Map<string, { readonly until: number; readonly pause: number }>();
/** Until when the server asked to be spared photos. */
let spared = 0;

let sending: Promise<void> | null = null;

/**
 * Sends what waits. It is over when all has been tried; before that as soon as a record is made, or after a while: then
 * the photos go on by themselves, and what becomes of them the next turn finds.
 */
export async function sendPhotos(page: Page, hashes: readonly string[]): Promise<void> {
  sending ??= sendEach(page, hashes).finally(() => {
    sending = null;
  });
  const { promise: other, resolve } = Promise.withResolvers<void>();
  const stop = page.onChange(({ made }) => {
    if (made) resolve();
  });
  const timer = setTimeout(resolve, PATIENCE_MS);
  try {
    await Promise.race([sending, other]);
  } finally {
    stop();
    clearTimeout(timer);
  }
}

/** One the server will not take stays here, and is not tried again before the app is next started. */
async function sendEach(page: Page, hashes: readonly string[]): Promise<void> {
  for (const sha256 of hashes) {
    const now = performance.now();
    if (now < spared) return;
    if (now < (resting.get(sha256)?.until ?? 0)) continue;
    const picture = await page.photo(sha256);
    if (!picture) continue;
    try {
      await sendPhoto(page, sha256, picture);
    } catch (error) {
      // the line may be gone: the next exchange tells, and then another photo is the first
      if (!heard(sha256, error as Partial<Problem> & Error)) return;
      continue;
    }
    await page.photoSent(sha256);
  }
}

/** Lets a photo rest that failed; false when the server was not reached. */
function heard(sha256: string, error: Partial<Problem> & Error): boolean {
  const { name, status = 0, retryAfter = null } = error;
  const reached = name === "Problem";
  if ((!reached && name !== "NoNetwork") || status === 401) throw error;
  const pause = Math.min(END_MS, (resting.get(sha256)?.pause ?? FIRST_MS / 2) * 2);
  const refused = reached && status < 500 && retryAfter === null;
  const now = performance.now();
  resting.set(sha256, { until: refused ? Number.POSITIVE_INFINITY : now + pause, pause });
  if (retryAfter !== null) spared = now + retryAfter;
  return reached;
}
