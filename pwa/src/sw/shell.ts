/** The page's side of the service worker: looking for a new version, and taking it on the person's word. */
import { type Signal, signal } from "@preact/signals";
import { APPLY } from "./message";

const SCRIPT = "/sw.js";

export type Update = { readonly waiting: boolean; readonly apply: () => void };

export const update: Signal<Update> = signal({ waiting: false, apply: () => undefined });

/** Registers the worker and looks for updates. */
export async function startShell(): Promise<void> {
  if (!("serviceWorker" in navigator)) return;
  reloadOnChange(navigator.serviceWorker);
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

/** The first worker to take control is no update: only a change of worker reloads. */
function reloadOnChange(container: ServiceWorkerContainer): void {
  let controlled = container.controller !== null;
  container.addEventListener("controllerchange", () => {
    if (controlled) location.reload();
    controlled = true;
  });
}

function watch(registration: ServiceWorkerRegistration): void {
  const show = (): void => {
    const { waiting } = registration;
    const ready = waiting !== null && navigator.serviceWorker.controller !== null;
    update.value = { waiting: ready, apply: () => waiting?.postMessage(APPLY) };
  };
  registration.addEventListener("updatefound", () => {
    registration.installing?.addEventListener("statechange", show);
  });
  show();
}
