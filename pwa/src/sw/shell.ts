/** The page's side of the service worker: looking for a new version, and taking it on the person's word. */
import { type Signal, signal } from "@preact/signals";
import { APPLY, FETCH_OFFICE, OPEN, PUSHED } from "./message";

const SCRIPT = "/sw.js";
/** Shared by the tabs that must not be loaded anew just now. */
const LOCK = "vesselside-version";

export type Update = {
  readonly waiting: boolean;
  /** false when a tab holds it back */
  readonly apply: () => Promise<boolean>;
  /** another tab took the new version: what this one has not loaded yet is gone */
  readonly outdated: boolean;
};

export const update: Signal<Update> = signal({ waiting: false, apply: async () => false, outdated: false });

let asked = false;

/** No tab takes a new version until what this answers is called. */
export function holdBack(): () => void {
  const { promise, resolve } = Promise.withResolvers<void>();
  navigator.locks.request(LOCK, { mode: "shared" }, () => promise).catch(reportError);
  return resolve;
}

/** Registers the worker, looks for updates, and hears what notices came (`pushed`) and which one was pressed. */
export async function startShell(pushed: () => void): Promise<void> {
  if (!("serviceWorker" in navigator)) return;
  reloadOnChange(navigator.serviceWorker);
  navigator.serviceWorker.addEventListener("message", ({ data }) => {
    if (data === PUSHED) pushed();
    else if (Array.isArray(data?.[OPEN])) location.hash = `/${data[OPEN].map(encodeURIComponent).join("/")}`;
  });
  const registration = await navigator.serviceWorker.register(SCRIPT, { updateViaCache: "none" });
  watch(registration);
  const look = (): void => {
    registration.update().catch(() => undefined); // no signal: the next time it becomes visible will do
  };
  document.addEventListener("visibilitychange", () => {
    if (document.visibilityState === "visible") look();
  });
  look();
}

/** For a shell that will not start: drops what is cached of it and loads it afresh. Records stay. */
export async function recoverShell(): Promise<void> {
  for (const registration of await navigator.serviceWorker.getRegistrations())
    await registration.unregister();
  for (const name of await caches.keys()) await caches.delete(name);
  location.reload();
}

/** The first worker to take control is no update: only a change of worker reloads, and only where it was asked for. */
function reloadOnChange(container: ServiceWorkerContainer): void {
  let controlled = container.controller !== null;
  container.addEventListener("controllerchange", () => {
    if (controlled && asked) location.reload();
    else if (controlled) update.value = { ...update.peek(), outdated: true };
    controlled = true;
  });
  // a part of the version that is gone
  addEventListener("vite:preloadError", () => {
    if (update.peek().outdated) location.reload();
  });
}

function take(waiting: ServiceWorker | null): Promise<boolean> {
  return navigator.locks.request(LOCK, { ifAvailable: true }, (lock) => {
    if (lock) asked = true;
    if (lock) waiting?.postMessage(APPLY);
    return lock !== null;
  });
}

function watch(registration: ServiceWorkerRegistration): void {
  const show = (): void => {
    const { active, waiting } = registration;
    for (const worker of [active, waiting]) worker?.postMessage(FETCH_OFFICE);
    const ready = waiting !== null && navigator.serviceWorker.controller !== null;
    update.value = { ...update.peek(), waiting: ready, apply: () => take(waiting) };
  };
  registration.addEventListener("updatefound", () => {
    registration.installing?.addEventListener("statechange", show);
  });
  show();
  void navigator.serviceWorker.ready.then(show);
}
