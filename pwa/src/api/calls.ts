/** The addresses the phone calls, each with what counts as its answer. */
import type { PublicKey } from "../log";
import { type Call, request, type Shape } from "./request";
import {
  type Enrolled,
  isEnrolled,
  isNothing,
  isReference,
  isRunAnswer,
  isRunPage,
  isSession,
  isSyncAnswer,
  isVesselPage,
  type Reference,
  type RunAnswer,
  type RunFilters,
  type RunPage,
  type Session,
  type SyncAnswer,
  type Vessel,
} from "./shapes";

export type Secret = { readonly pin: string } | { readonly password: string };

/** `more` is what a phone says of itself whose storage was lost. */
export function enrolDevice(code: string, name: string, key: PublicKey, more: object): Promise<Enrolled> {
  return send("POST", "/api/devices", { ...more, code, name, key }, isEnrolled, [201]);
}

export function beginSession(person: string, secret: Secret): Promise<Session> {
  return send("POST", "/api/session", { person, ...secret }, isSession);
}

/** The same judgement for a second person's signature, without taking the session from the first. */
export function checkSecret(person: string, secret: Secret): Promise<Session> {
  return send("POST", "/api/session", { person, ...secret, verify: true }, isSession);
}

export async function endSession(): Promise<void> {
  await request({ path: "/api/session", method: "DELETE", json: "{}", statuses: [204], shape: isNothing });
}

/** One push and pull. The body is text already, so that each event travels as it was signed. */
export async function exchange(body: string): Promise<SyncAnswer> {
  const call = {
    path: "/api/sync",
    method: "POST",
    json: body,
    packed: true,
    statuses: [200],
    shape: isSyncAnswer,
  } as const;
  return (await request(call)).body;
}

export async function fetchReference(
  etag: string | null,
): Promise<{ etag: string; reference: Reference } | "unchanged"> {
  const shape = (value: unknown): value is Reference | null => isNothing(value) || isReference(value);
  const headers = etag === null ? {} : { "If-None-Match": etag };
  const answer = await request({ path: "/api/reference", headers, statuses: [200, 304], shape });
  if (answer.body === null) return "unchanged";
  return { etag: answer.headers.get("ETag") ?? "", reference: answer.body };
}

export function runs(filters: RunFilters = {}): Promise<RunPage> {
  const query = new URLSearchParams();
  for (const [name, value] of Object.entries(filters)) query.set(name, String(value));
  return read(query.size > 0 ? `/api/runs?${query}` : "/api/runs", isRunPage);
}

export const run = (id: string): Promise<RunAnswer> =>
  read(`/api/runs/${encodeURIComponent(id)}`, isRunAnswer);

export async function vessels(): Promise<readonly Vessel[]> {
  return (await read("/api/vessels", isVesselPage)).vessels;
}

/** Any other GET whose answer is JSON. */
export async function read<T>(path: string, shape: Shape<T>): Promise<T> {
  return (await request({ path, statuses: [200], shape })).body;
}

/** Any other call with a JSON body; a 204 is checked as null. */
export async function send<T>(
  method: "POST" | "PUT" | "PATCH" | "DELETE",
  path: string,
  body: object,
  shape: Shape<T>,
  statuses: Call<T>["statuses"] = [200, 201, 204],
): Promise<T> {
  return (await request({ path, method, json: JSON.stringify(body), statuses, shape })).body;
}

/** Where a picture's element finds a photo that the office has. */
export const photoAddress = (sha256: string): string => `/api/photos/${encodeURIComponent(sha256)}`;
