/** A run of a draft that is folded by the core and never kept: what the phone would show at each step. */
import { useEffect, useState } from "preact/hooks";
import { call } from "../engine";
import { current } from "../identity";
import { nextScreen, type Shown } from "./cautions";
import { caution, cautions } from "./known";
import { keepLooks } from "./looks";
import { closeRun, type Session, session } from "./run";
import type { Procedure, RunView, Step } from "./view";

const RUN = "rehearsal";

/** One screen of the walk: cautions to be met, or the step itself. */
export type Screen = { readonly step: Step; readonly cautions: readonly Shown[] };

const inFull = (step: Step): Shown[] =>
  (step.cautions ?? []).flatMap((id) => {
    const held = caution(id);
    return held ? [{ caution: held, show: "full" as const }] : [];
  });

/** The cautions of a step once they are met, for its own screen: links to them, or in full beside what is never locked. */
export function showCautions(step: Step): void {
  const show = step.never_locked ? ("full" as const) : ("met" as const);
  const rows = inFull(step).map((row) => ({ caution: row.caution.id, show }));
  keepLooks({ [step.id]: { cautions: rows, interlocks: [], signers: [] } });
}

/** Every screen of a procedure in order, as a new starter sees them: the cautions in full before each step. */
export function screensOf(procedure: Procedure): readonly Screen[] {
  return procedure.steps.flatMap((step) => {
    let left = step.never_locked ? [] : inFull(step);
    const screens: Screen[] = [];
    while (left.length > 0) {
      const shown = nextScreen(left);
      screens.push({ step, cautions: shown });
      left = left.filter((row) => !shown.includes(row));
    }
    return [...screens, { step, cautions: [] }];
  });
}

/** The core's view of a run of `procedure`, each step as it stands once what it waits for is done. */
export function useRehearsal(procedure: Procedure | null): Session | null {
  const [held, setHeld] = useState<Session | null>(null);
  useEffect(() => {
    if (!procedure) return;
    let left = false;
    closeRun();
    fold(procedure).then((made) => {
      if (left) return;
      session.value = made;
      setHeld(made);
    }, reportError);
    return () => {
      left = true;
      closeRun();
    };
  }, [procedure]);
  return held;
}

async function fold(procedure: Procedure): Promise<Session> {
  const steps = procedure.steps.map((step) => ({ ...step, needs: [] }));
  const shown: Procedure = { ...procedure, steps };
  const { id, version, sha256 } = procedure;
  const now = Date.now();
  const opened = {
    id: RUN,
    source: `/devices/${RUN}`,
    type: "run.opened",
    subject: `/runs/${RUN}`,
    time: new Date(now).toISOString(),
    person: current.peek()?.id ?? RUN,
    hlc: `${now.toString(16).padStart(12, "0")}-0000`,
    seen: "0000000000000000",
    number: 1,
    data: { procedure: id, version, sha256, inputs: {} },
  };
  const view = await call<RunView>("open", {
    run: RUN,
    procedure: shown,
    cautions: cautions().map((row) => ({ id: row.id, version: row.version })),
    admin: [],
    events: [opened],
  });
  return { id: RUN, live: true, view, procedure: shown, rehearsal: true };
}
