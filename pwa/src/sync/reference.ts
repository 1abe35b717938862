/** Keeping the reference fresh, and refusing one that this version's core is too old for. */
import { type Reference, reference, refreshReference } from "../api";
import { call } from "../engine";
import { goByPeople } from "../identity";
import type { AdministrationKind } from "../shapes";
import { show, syncState } from "./state";

/** The administration that the reference shows. */
const SHOWN: readonly AdministrationKind[] = [
  "person.changed",
  "person.retired",
  "procedure.published",
  "setting.changed",
  "recipe.changed",
  "instrument.changed",
  "vessel.changed",
];
const TYPES = new Set<string>(SHOWN);
const FRESH_MS = 5 * 60_000;

let looked = Number.NEGATIVE_INFINITY;

/** Asks for the reference when it may have changed: an administration event came, or some time has passed. */
export async function keepFresh(types: readonly string[]): Promise<void> {
  const fresh = reference.peek() !== null && performance.now() - looked < FRESH_MS;
  if (fresh && !types.some((type) => TYPES.has(type))) return;
  const outcome = await refreshReference(fits);
  looked = performance.now();
  await goByPeople();
  if (outcome === "turned-down") show({ trouble: "old-core" });
  else if (outcome === "taken" && syncState.peek().trouble === "old-core") show({ trouble: null });
}

async function fits({ minCore }: Reference): Promise<boolean> {
  const { core } = await call<{ core: string }>("about", {});
  return notBelow(core, minCore);
}

function notBelow(version: string, least: string): boolean {
  const [have, need] = [version, least].map((text) => text.split(".").map(Number));
  for (const [at, part] of (need ?? []).entries()) {
    const mine = have?.[at] ?? 0;
    if (mine !== part) return mine > part;
  }
  return true;
}
