/**
 * The page's side of the service worker.
 *
 *   startShell() → Promise<void>                  registers, looks for updates on start and on becoming visible
 *   update: Signal<{waiting: boolean, apply: () => void}>   applied only on the person's word, then reloads
 *   recoverShell() → Promise<void>                drops Cache Storage and the worker, never IndexedDB, then reloads
 */
export { recoverShell, startShell, update } from "./shell";
