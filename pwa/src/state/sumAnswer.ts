/** What the core answers to the figures given so far. */
import { useEffect, useState } from "preact/hooks";
import { call } from "../engine";
import type { JsonObject } from "../log";
import { answerTo } from "./act";
import { type Calculation, type Figures, given } from "./sums";
import type { Working } from "./view";

export type SumAnswer = {
  readonly working: Working | null;
  /** What is wrong, in the core's words, by the input it is about. */
  readonly wrong: Readonly<Record<string, string>>;
  /** What is still to be given, or wrong with the figures together. */
  readonly words: string | null;
};

type Fault = { readonly text: string; readonly field: string };

const NOTHING: SumAnswer = { working: null, wrong: {}, words: null };

/** Asks anew with each key that is pressed; nothing until the figures kept on this phone have been read. */
export function useSumAnswer(row: Calculation, figures: Figures | null): SumAnswer {
  const [answer, setAnswer] = useState<SumAnswer>(NOTHING);
  const inputs = figures && given(figures);
  useEffect(() => {
    if (!inputs) return;
    let stale = false;
    answered(row, inputs).then((next) => !stale && setAnswer(next), reportError);
    return () => {
      stale = true;
    };
  }, [row.name, JSON.stringify(inputs)]);
  return answer;
}

async function answered(row: Calculation, inputs: JsonObject): Promise<SumAnswer> {
  try {
    return { ...NOTHING, working: await call<Working>("work", { name: row.name, inputs }) };
  } catch (error) {
    const { code, text, field } = answerTo(error);
    const faults = await call<readonly Fault[]>("faults", { name: row.name, inputs });
    const wrong = Object.fromEntries(faults.map((fault) => [fault.field, fault.text]));
    if (code === "needed" || !row.inputs.some((input) => input.id === field))
      return { working: null, wrong, words: text };
    return { working: null, wrong: { ...wrong, [field ?? ""]: text }, words: null };
  }
}
