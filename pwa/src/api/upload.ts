/**
 * Sending a photo, loaded only then. By the one way of a browser that tells how far it has got on the way out: a slow line
 * has the time it needs, a dead one two minutes, since what the phone has taken off our hands may still be on its way. It
 * imports nothing of the page and is handed `page`.
 */
import type { NoNetwork } from "./errors";
import type { judged, patience } from "./request";

const STILL_MS = 120_000;
const WHOLE_MS = 30 * 60_000;

export type Parts = {
  readonly judged: typeof judged;
  readonly patience: typeof patience;
  readonly NoNetwork: typeof NoNetwork;
  readonly photoAddress: (sha256: string) => string;
};

/** Sends a photo by its own hash; held already counts as sent. */
export async function sendPhoto(page: Parts, sha256: string, blob: Blob): Promise<void> {
  const shape = (value: unknown): value is { readonly sha256: string } =>
    (value as { sha256?: unknown } | null)?.sha256 === sha256;
  const path = page.photoAddress(sha256);
  const wait = page.patience(STILL_MS, WHOLE_MS);
  const request = new XMLHttpRequest();
  request.open("PUT", path);
  request.setRequestHeader("Accept", "application/json");
  request.setRequestHeader("Content-Type", blob.type);
  request.upload.addEventListener("progress", wait.moved);
  wait.signal.addEventListener("abort", () => request.abort());
  const over = new Promise<void>((resolve) => request.addEventListener("loadend", () => resolve()));
  request.send(blob);
  await over;
  wait.end();
  if (request.status < 200) throw new page.NoNetwork("the server was not reached", {}, wait.signal.aborted);
  page.judged({ path, statuses: [200, 201], shape }, heard(request), request.responseText);
}

function heard(request: XMLHttpRequest): Response {
  const headers = new Headers();
  for (const name of ["Content-Type", "Retry-After"]) {
    const value = request.getResponseHeader(name);
    if (value !== null) headers.set(name, value);
  }
  return new Response(null, { status: request.status, headers });
}
