/**
 * The service worker: page, worker and core from one precache revision.
 *
 * 1. A new revision waits; it takes over only on the person's word (APPLY).
 * 2. /api is never answered from here.
 * 3. Only Cache Storage is used here; the records in IndexedDB are none of its business.
 * 4. The desk's parts are no part of what a phone waits for on installing: they are kept when the page asks for it, or
 *    when first used.
 */
import { clientsClaim } from "workbox-core";
import {
  cleanupOutdatedCaches,
  createHandlerBoundToURL,
  type PrecacheEntry,
  precacheAndRoute,
} from "workbox-precaching";
import { NavigationRoute, registerRoute } from "workbox-routing";
import { APPLY, FETCH_OFFICE } from "./message";
import { tellNotices } from "./notices";

const OFFICE_CACHE = "vesselside-office";

type Entry = string | PrecacheEntry;

declare const self: ServiceWorkerGlobalScope & {
  readonly __WB_MANIFEST: Entry[];
};

const manifest = self.__WB_MANIFEST;
const isOffice = (entry: Entry): boolean => /\/Desk-[^/]+$/.test(urlOf(entry));
const office = new Set(manifest.filter(isOffice).map((entry) => `/${urlOf(entry)}`));

precacheAndRoute(
  manifest.filter((entry) => !isOffice(entry)),
  { ignoreURLParametersMatching: [/.*/], cleanURLs: false },
);
cleanupOutdatedCaches();
registerRoute(
  new NavigationRoute(createHandlerBoundToURL("/index.html"), {
    denylist: [/^\/api\//, /^\/healthz$/, /^\/readyz$/],
  }),
);
registerRoute(
  ({ url }) => office.has(url.pathname),
  ({ request }) => fromOffice(request),
);
clientsClaim();
tellNotices();

self.addEventListener("activate", (event) => event.waitUntil(dropOldOffice()));

self.addEventListener("message", (event) => {
  if (event.data === APPLY) event.waitUntil(self.skipWaiting());
  if (event.data === FETCH_OFFICE) event.waitUntil(keepOffice());
});

function urlOf(entry: Entry): string {
  return typeof entry === "string" ? entry : entry.url;
}

async function fromOffice(request: Request): Promise<Response> {
  const cache = await caches.open(OFFICE_CACHE);
  const kept = await cache.match(request.url);
  if (kept) return kept;
  const answer = await fetch(request);
  if (answer.ok) await cache.put(request.url, answer.clone());
  return answer;
}

/** Keeps what is not kept yet; with no signal it is asked again at the page's next start. */
async function keepOffice(): Promise<void> {
  const cache = await caches.open(OFFICE_CACHE);
  for (const url of office) if (!(await cache.match(url))) await cache.add(url).catch(() => undefined);
}

async function dropOldOffice(): Promise<void> {
  const cache = await caches.open(OFFICE_CACHE);
  for (const { url } of await cache.keys()) if (!office.has(new URL(url).pathname)) await cache.delete(url);
}
