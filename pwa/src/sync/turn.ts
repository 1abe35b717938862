/** One turn of the loop: exchange, compare, then what follows an exchange; told as an input to `hear`. */
import { NoNetwork, Problem } from "../api";
import { disown, goBySecrets, payEnding } from "../identity";
import { NotEnrolled, NotSaved, type OutboxRow, unsentPhotos, waiting } from "../log";
import { compare, note, toFetch } from "./compare";
import type { Input } from "./decide";
import { exchangeOnce, nextBatch } from "./exchange";
import { type Outcome, page } from "./page";
import { keepFresh } from "./reference";
import { show, syncState, type TroubleKind } from "./state";

/** The head of the log that was looked at last. */
let watched = "";

/** An exchange was refused since the last that was answered, or a record is still tried after the others. */
let refused = false;

/** How many records may travel at once, each way. */
type Room = { readonly batch: number; readonly page: number };

const back = () => import("./back");

export async function turn({ batch, page: limit }: Room): Promise<Input> {
  let sent: readonly OutboxRow[] = [];
  let heard: Input;
  try {
    sent = await nextBatch(batch);
    const fetch = toFetch();
    const outcome = await exchangeOnce(sent, fetch, limit);
    await note(outcome.answer, fetch);
    if (refused) (await back()).taken(page, outcome);
    refused = syncState.peek().undigested.length > 0;
    if (outcome.leapt) await (await back()).setBack(page);
    const { head, results } = outcome.answer;
    const doubted = results.some(({ status }) => status === "quarantined");
    if (outcome.lost || (doubted && (await back()).forked(outcome))) return await lostLog();
    if (head && head.signature !== watched) {
      if (await (await back()).watch(page, outcome.answer)) watched = head.signature;
    }
    heard = { kind: "answered", more: await settle(outcome) };
    await payEnding();
    await goBySecrets(outcome.answer.events);
    await keepFresh(outcome.answer.events.map((event) => event.type));
  } catch (error) {
    return await explain(error, sent);
  }
  if (heard.more) return heard;
  try {
    const photos = await unsentPhotos();
    if (photos[0]) await (await back()).sendPhotos(page, photos);
  } catch (error) {
    return await explain(error, []);
  }
  return heard;
}

/** True when another exchange at once will bring more. */
async function settle({ answer, moved }: Outcome): Promise<boolean> {
  if (moved && (answer.more || (await waiting()) > 0)) return true;
  const { again, differs } = await compare();
  if (syncState.peek().trouble !== "old-core") show({ trouble: differs ? "mismatch" : null });
  return again;
}

async function lostLog(): Promise<Input> {
  await disown();
  show({ trouble: "enrol" });
  return { kind: "disowned" };
}

async function explain(error: unknown, sent: readonly OutboxRow[]): Promise<Input> {
  if (error instanceof Problem) {
    refused = true;
    return (await back()).refused(page, error, sent);
  }
  if (error instanceof NoNetwork)
    return { ...failed("no-network"), ...(error.slow ? { slow: sent.length } : {}) };
  if (error instanceof NotEnrolled) return { kind: "disowned" };
  if (!(error instanceof NotSaved)) reportError(error);
  return failed("storage");
}

function failed(trouble: TroubleKind): Extract<Input, { kind: "failed" }> {
  show({ trouble });
  return { kind: "failed", chance: Math.random(), retryAfter: null };
}
