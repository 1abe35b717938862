/** Opening a run: the core makes the record that opens it, the log keeps it, and the run is on the screen. */
import { call } from "../engine";
import { current } from "../identity";
import { append, type JsonObject } from "../log";
import { answerTo, type Refused } from "./act";
import { openRun } from "./run";
import { save } from "./saving";
import type { Procedure, RecipeVersion } from "./view";

export type Opening = {
  readonly procedure: Procedure;
  readonly vessel: string | null;
  readonly gyle: string | null;
  readonly recipe?: RecipeVersion;
  readonly inputs: Readonly<Record<string, string>>;
};

export async function start(
  opening: Opening,
): Promise<{ readonly ok: true; readonly run: string } | Refused> {
  const person = current.peek();
  if (!person) throw new Error("nobody is signed in");
  const run = crypto.randomUUID();
  try {
    const { type, data } = await call<{ type: string; data: JsonObject }>("prepare", {
      ...opening,
      run,
      action: "open",
      person: { id: person.id, role: person.role },
      now: Date.now(),
    });
    const draft = { type, subject: `/runs/${run}`, person: person.id, data };
    await save(() => append(draft));
  } catch (error) {
    return answerTo(error);
  }
  await openRun(run).catch(console.error); // it is in the record: its own screen opens it again
  return { ok: true, run };
}
