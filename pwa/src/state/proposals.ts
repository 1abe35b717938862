/** What to begin next, as the core ranks it: at a vessel, at none, or what must not wait anywhere. */
import { useEffect, useState } from "preact/hooks";
import { call } from "../engine";
import type { Proposal } from "../shapes";
import { board } from "./board";
import { engineState } from "./core";
import { offered } from "./known";
import type { Procedure, Step } from "./view";

export type { Proposal };

/** Only what the core weighs goes to it: the words and entries of all procedures are a hundred times as much. */
const weighed = ({ id, title, kind, vessel_kinds, leaves, steps }: Procedure) => ({
  id,
  title,
  kind,
  vessel_kinds,
  leaves,
  steps: steps.map(({ asks, shows, ends, opens, checks, fills, draws, chemical, proof }: Step) => ({
    asks,
    shows,
    ends,
    opens,
    checks,
    fills,
    draws,
    chemical,
    proof,
  })),
});

/** Of a vessel by its id, at no vessel with null; without it what must not wait, one a vessel. */
export function proposed(
  vessel?: string | null,
  of: readonly Procedure[] = offered(),
): Promise<readonly Proposal[]> {
  return call<readonly Proposal[]>("propose", { vessel, procedures: of.map(weighed), now: Date.now() });
}

/** The same, asked again whenever the board is another; null until the core has answered once. */
export function useProposed(vessel?: string | null): readonly Proposal[] | null {
  const [rows, setRows] = useState<readonly Proposal[] | null>(null);
  const plant = board.value;
  const ready = engineState.value === "ready";
  useEffect(() => {
    if (!ready) return;
    let gone = false;
    proposed(vessel).then((found) => {
      if (!gone && (found.length > 0 || vessel === undefined)) setRows(found);
    }, console.error);
    return () => {
      gone = true;
    };
  }, [vessel, plant, ready]);
  return rows;
}
