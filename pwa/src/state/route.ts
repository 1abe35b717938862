/**
 * Where the person is, kept in the address after "#": it works with no server, and the phone's own Back key works.
 * A route is its parts: "#/run/8f2…/enter/dose/dosed" is ["run", "8f2…", "enter", "dose", "dosed"].
 */
import { signal } from "@preact/signals";

export type Route = readonly string[];

export const route = signal<Route>(partsOf(location.hash));

/** The address of a route, for links. */
export const to = (...parts: readonly string[]): string =>
  `#/${parts.map((part) => encodeURIComponent(part)).join("/")}`;

/** How many steps of this visit lie behind, so that `leave` never walks out of the app. */
const depth = (): number => (typeof history.state?.depth === "number" ? history.state.depth : 0);

export function go(...parts: readonly string[]): void {
  history.pushState({ depth: depth() + 1 }, "", to(...parts));
  route.value = parts;
}

/** Takes the place of the screen that is left, so that Back does not return to it. */
export function replace(...parts: readonly string[]): void {
  history.replaceState({ depth: depth() }, "", to(...parts));
  route.value = parts;
}

/** Back to where the person came from; to `parts` when this screen was opened by its address. */
export function leave(...parts: readonly string[]): void {
  if (depth() > 0) history.back();
  else replace(...parts);
}

/** Leaves as `way` does, unless the person has gone elsewhere while what they started was being done. */
export function leaveFromHere(way: typeof leave = leave): typeof leave {
  const here = route.peek();
  return (...parts) => {
    if (route.peek() === here) way(...parts);
  };
}

/** Listens to the Back key and to links. Links push with no depth of their own, so it is counted here. */
export function watchRoute(): void {
  addEventListener("popstate", arrive);
  document.addEventListener("click", followLink);
}

function arrive(): void {
  route.value = partsOf(location.hash);
}

function followLink(event: MouseEvent): void {
  if (event.defaultPrevented || event.button !== 0 || event.metaKey || event.ctrlKey || event.shiftKey)
    return;
  const link = event.target instanceof Element ? event.target.closest("a[href^='#/']") : null;
  if (!link || link.hasAttribute("target")) return;
  event.preventDefault();
  const way = link.hasAttribute("data-replace") ? replace : go;
  way(...partsOf(link.getAttribute("href") ?? ""));
}

function partsOf(hash: string): string[] {
  return hash
    .replace(/^#?\/?/, "")
    .split("/")
    .filter((part) => part !== "")
    .map(decoded);
}

function decoded(part: string): string {
  try {
    return decodeURIComponent(part);
  } catch (error) {
    if (error instanceof URIError) return part;
    throw error;
  }
}
