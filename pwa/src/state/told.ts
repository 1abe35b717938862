/** What the office said of people, settings and instruments: the core is told once, and judges every run by it. */
import { call, generation, startEngine } from "../engine";
import { admin, onChange } from "../log";

type Told = { readonly core: number; readonly change: number; readonly ids: ReadonlySet<string> };

/** Counts what may have changed the administration that this phone holds. */
let change = 0;
let told: Told = { core: -1, change: -1, ids: new Set() };

export function followAdmin(): void {
  onChange(({ subjects, again }) => {
    if (again || subjects.length === 0 || subjects.includes("/admin")) change += 1;
  });
}

/** Asks the core about runs, once it knows all of the administration that this phone holds. */
export async function askAbout<T>(name: string, given: object): Promise<T> {
  await startEngine();
  const now = { core: generation.peek(), change };
  if (told.core === now.core && told.change === now.change) return call<T>(name, given);
  const events = await admin();
  const ids = new Set(events.map(({ id }) => id));
  const anew = told.core !== now.core || [...told.ids].some((id) => !ids.has(id));
  const fresh = anew ? events : events.filter(({ id }) => !told.ids.has(id));
  // One after the other to the same core: one that ends between them answers neither.
  const [, answer] = await Promise.all([call("told", { admin: fresh, anew }), call<T>(name, given)]);
  told = { ...now, ids };
  return answer;
}
