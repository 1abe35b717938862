/**
 * One request, to the end of its body. It is given up when nothing has moved for half a minute, and after five minutes
 * whatever moves: a slow line is not a dead one.
 *
 * An answer counts only with a right status, a right media type and a right shape; a problem counts
 * only as application/problem+json. All else (a captive portal's page, a redirect to one, a proxy's
 * error page) is NoNetwork.
 */
import { NoNetwork, PROBLEM_KINDS, Problem, type ProblemKind } from "./errors";

export type Shape<T> = (value: unknown) => value is T;
export type Answer<T> = { readonly status: number; readonly body: T; readonly headers: Headers };

const STILL_MS = 30_000;
const WHOLE_MS = 5 * 60_000;
const WORTH_GZIP = 1_024;
const URN = "urn:vesselside:";

export type Call<T> = {
  readonly path: string;
  readonly method?: "GET" | "POST" | "PUT" | "PATCH" | "DELETE";
  readonly headers?: Readonly<Record<string, string>>;
  readonly json?: string;
  /** the address takes a packed body */
  readonly packed?: boolean;
  /** statuses that count as an answer; one with an empty body is read as null */
  readonly statuses: readonly number[];
  readonly shape: Shape<T>;
};

export async function request<T>(call: Call<T>): Promise<Answer<T>> {
  const wait = patience();
  let response: Response;
  let text: string;
  try {
    response = await fetch(call.path, await options(call, wait.signal));
    text = await whole(response, wait.moved);
  } catch (cause) {
    throw new NoNetwork("the server was not reached", { cause }, wait.signal.aborted);
  } finally {
    wait.end();
  }
  return judged(call, response, text);
}

/** Aborts `signal` when `moved` has not been called for too long, or `end` not at all. */
export function patience(still = STILL_MS, most = WHOLE_MS) {
  const stop = new AbortController();
  const begun = performance.now();
  let limit: ReturnType<typeof setTimeout> | undefined;
  const moved = (): void => {
    clearTimeout(limit);
    const left = Math.min(still, begun + most - performance.now());
    limit = setTimeout(() => stop.abort(), left);
  };
  moved();
  return { signal: stop.signal, moved, end: () => clearTimeout(limit) };
}

function whole({ body }: Response, moved: () => void): Promise<string> | string {
  if (body === null) return "";
  const heard = new TransformStream<Uint8Array<ArrayBuffer>, Uint8Array<ArrayBuffer>>({
    transform(part, on) {
      moved();
      on.enqueue(part);
    },
  });
  return new Response(body.pipeThrough(heard)).text();
}

/** What an answer says, if it is one that counts. */
export function judged<T>(call: Call<T>, response: Response, text: string): Answer<T> {
  if (!call.statuses.includes(response.status)) throw refusal(response, text);
  const body = text === "" ? null : parse(response, text);
  if (!call.shape(body)) throw new NoNetwork("what answered is not this brewery's server");
  return { status: response.status, body, headers: response.headers };
}

async function options(call: Call<unknown>, signal: AbortSignal): Promise<RequestInit> {
  const headers: Record<string, string> = { Accept: "application/json", ...call.headers };
  const base: RequestInit = {
    method: call.method ?? "GET",
    headers,
    signal,
    cache: "no-store",
    credentials: "same-origin",
    redirect: "error",
  };
  if (call.json === undefined) return base;
  headers["Content-Type"] = "application/json";
  if (!call.packed || call.json.length < WORTH_GZIP || typeof CompressionStream !== "function") {
    return { ...base, body: call.json };
  }
  headers["Content-Encoding"] = "gzip";
  return { ...base, body: await gzip(call.json) };
}

function gzip(text: string): Promise<ArrayBuffer> {
  return new Response(new Blob([text]).stream().pipeThrough(new CompressionStream("gzip"))).arrayBuffer();
}

function parse(response: Response, text: string): unknown {
  if (mediaType(response) !== "application/json") return undefined;
  return fromJson(text);
}

function fromJson(text: string): unknown {
  try {
    return JSON.parse(text);
  } catch {
    return undefined; // not JSON after all: the shape check that follows says so
  }
}

function mediaType(response: Response): string {
  return (response.headers.get("Content-Type") ?? "").split(";")[0]?.trim().toLowerCase() ?? "";
}

function refusal(response: Response, text: string): NoNetwork | Problem {
  const problem = mediaType(response) === "application/problem+json" ? fromJson(text) : undefined;
  if (!isProblem(problem) || response.status < 400) {
    return new NoNetwork(`what answered (${response.status}) is not this brewery's server`);
  }
  const named = problem.type.slice(URN.length);
  const kind = PROBLEM_KINDS.find((known): known is Exclude<ProblemKind, "unknown"> => known === named);
  const detail = typeof problem.detail === "string" ? problem.detail : named;
  return new Problem(kind ?? "unknown", response.status, detail, retryAfter(response), problem);
}

function isProblem(value: unknown): value is { type: string; detail?: unknown; revoked?: unknown } {
  return (
    typeof value === "object" &&
    value !== null &&
    "type" in value &&
    typeof value.type === "string" &&
    value.type.startsWith(URN)
  );
}

/** Retry-After (RFC 9110 section 10.2.3) in seconds or as a date. */
function retryAfter(response: Response): number | null {
  const text = response.headers.get("Retry-After");
  if (text === null) return null;
  if (/^\d+$/.test(text.trim())) return Number(text) * 1_000;
  const at = Date.parse(text);
  return Number.isNaN(at) ? null : Math.max(0, at - Date.now());
}
