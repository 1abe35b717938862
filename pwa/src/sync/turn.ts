/** One turn of the loop: exchange, compare, then what follows an exchange; told as an input to `hear`. */
import { NoNetwork, Problem } from "../api";
import { disown, goBySecrets, obeyRevocation, payEnding } from "../identity";
import { NotEnrolled, NotSaved, type OutboxRow, rewind, setAside, waiting } from "../log";
import { compare, note, toFetch } from "./compare";
import type { Input } from "./decide";
import { exchangeOnce, nextBatch, type Outcome } from "./exchange";
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
    if (outcome.lost || forked(outcome)) return await lostLog();
    heard = { kind: "answered", more: await settle(outcome) };
    await payEnding();
    await goBySecrets(outcome.answer.events);
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

const forked = ({ answer }: Outcome): boolean =>
  answer.results.some(({ status, problem }) => status === "quarantined" && FORKED.has(problem ?? ""));

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
    if (problem.revoked) await obeyRevocation();
    show({ trouble: "enrol" });
    return { kind: "disowned" };
  }
  if (problem.status === 413 && first) {
    if (sent.length > 1) return { kind: "too-large", sent: sent.length };
    await setAside(first, problem.detail);
    return { kind: "answered", more: true };
  }
  if (problem.kind === "invalid" && (await rewindOnce())) return { kind: "answered", more: true };
  return failed(problem.retryAfter === null ? "turned-down" : "busy", problem.retryAfter);
}

let rewound = false;

/** A server gone back to an earlier state calls our cursor invalid; once a start, we believe that it was the cursor. */
async function rewindOnce(): Promise<boolean> {
  if (rewound) return false;
  rewound = true;
  return await rewind();
}

function failed(trouble: TroubleKind, retryAfter: number | null = null): Input {
  show({ trouble });
  return { kind: "failed", chance: Math.random(), retryAfter };
}
