/**
 * The page's side of the service worker.
 *
 *   startShell(pushed) → Promise<void>            registers, looks for updates on start and on becoming visible; `pushed`
 *                                                 is called when a notice came, and one that is pressed opens its address
 *   update: Signal<{waiting, apply: () => Promise<boolean>, outdated}>   applied only on the person's word, then reloads
 *   holdBack() → () => void                       no tab applies it until then
 *   recoverShell() → Promise<void>                drops Cache Storage and the worker, never IndexedDB, then reloads
 */
export { holdBack, recoverShell, startShell, update } from "./shell";
