/** One turn of the loop: exchange, compare, then what follows an exchange; told as an input to `hear`. */
import { NoNetwork, Problem } from "../api";
import { disown, payEnding } from "../identity";
import { headNow, NotEnrolled, NotSaved, type OutboxRow, setAside, waiting } from "../log";
import { compare, note, toFetch } from "./compare";
import type { Input } from "./decide";
import { exchangeOnce, nextBatch, type Outcome } from "./exchange";
import { page } from "./page";
import { sendPhotos } from "./photos";
import { keepFresh } from "./reference";
import { show, syncState, type TroubleKind } from "./state";

/** What the server answers in quarantine when this device's chain has forked: it cannot go on. */
const FORKED = new Set(["chain-broken", "number-reused"]);

export async function turn(count: number): Promise<Input> {
  let sent: readonly OutboxRow[] = [];
  let heard: Input;
  try {
    sent = await nextBatch(count);
    const fetch = toFetch();
    const outcome = await exchangeOnce(sent, fetch);
    await note(outcome.answer, fetch);
    if (outcome.lost || (await forked(outcome))) return await lostLog();
    heard = { kind: "answered", more: await settle(outcome) };
    await payEnding();
    await keepFresh(outcome.answer.events.map((event) => event.type));
  } catch (error) {
    return await explain(error, sent);
  }
  if (heard.more) return heard;
  try {
    await sendPhotos();
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

/** Whatever becomes of a record that was carried here, it is no reason to give up this phone's own key. */
async function forked({ answer, sent }: Outcome): Promise<boolean> {
  const bad = answer.results.filter(
    ({ status, problem }) => status === "quarantined" && FORKED.has(problem ?? ""),
  );
  if (bad.length === 0) return false;
  const source = `"source":"/devices/${(await headNow())?.device}"`;
  return sent.some(({ id, text }) => text.includes(source) && bad.some((result) => result.id === id));
}

async function lostLog(): Promise<Input> {
  await disown();
  show({ trouble: "enrol" });
  return { kind: "disowned" };
}

async function explain(error: unknown, sent: readonly OutboxRow[]): Promise<Input> {
  if (error instanceof Problem) return refused(error, sent);
  if (error instanceof NoNetwork) return failed("no-network");
  if (error instanceof NotEnrolled) return { kind: "disowned" };
  if (!(error instanceof NotSaved)) reportError(error);
  return failed("storage");
}

async function refused(problem: Problem, sent: readonly OutboxRow[]): Promise<Input> {
  const [first] = sent;
  if (problem.status === 401) {
    const known = await (await import("./back")).knownAgain(page);
    if (known) return known;
    show({ trouble: "enrol" });
    return { kind: "disowned" };
  }
  if (problem.status === 413 && first) {
    if (sent.length > 1) return { kind: "too-large", sent: sent.length };
    await setAside(first, problem.detail);
    return { kind: "answered", more: true };
  }
  if (problem.status === 409 || problem.kind === "invalid") {
    if (await (await import("./back")).goneBack(page, problem)) return { kind: "answered", more: true };
  }
  return failed(problem.retryAfter === null ? "turned-down" : "busy", problem.retryAfter);
}

function failed(trouble: TroubleKind, retryAfter: number | null = null): Input {
  show({ trouble });
  return { kind: "failed", chance: Math.random(), retryAfter };
}
