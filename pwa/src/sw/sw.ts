/**
 * The service worker: page, worker and core from one precache revision.
 *
 * 1. A new revision waits; it takes over only on the person's word (APPLY).
 * 2. /api is never answered from here.
 * 3. Only Cache Storage is used here; the records in IndexedDB are none of its business.
 */
import { clientsClaim } from "workbox-core";
import { cleanupOutdatedCaches, createHandlerBoundToURL, precacheAndRoute } from "workbox-precaching";
import { NavigationRoute, registerRoute } from "workbox-routing";
import { APPLY } from "./message";

declare const self: ServiceWorkerGlobalScope & {
  readonly __WB_MANIFEST: (string | { url: string; revision: string | null })[];
};

precacheAndRoute(self.__WB_MANIFEST, { ignoreURLParametersMatching: [/.*/], cleanURLs: false });
cleanupOutdatedCaches();
registerRoute(
  new NavigationRoute(createHandlerBoundToURL("/index.html"), {
    denylist: [/^\/api\//, /^\/healthz$/, /^\/readyz$/],
  }),
);
clientsClaim();

self.addEventListener("message", (event) => {
  if (event.data === APPLY) event.waitUntil(self.skipWaiting());
});
