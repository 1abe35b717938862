/**
 * The page's side of the service worker.
 *
 *   startShell() → Promise<void>                  registers, looks for updates on start and on becoming visible
 *   update: Signal<{waiting, apply: () => Promise<boolean>, outdated}>   applied only on the person's word, then reloads
 *   holdBack() → () => void                       no tab applies it until then
 *   recoverShell() → Promise<void>                drops Cache Storage and the worker, never IndexedDB, then reloads
 */
export { holdBack, recoverShell, startShell, update } from "./shell";
