/** What is half keyed survives a locked screen and a reload. */
import { useEffect, useState } from "preact/hooks";
import { forget, keep, recall } from "../log";
import { isText } from "./readwith";
import type { Session } from "./run";
import type { Entry, Step } from "./view";

const keyOf = (run: Session, step: Step, entry: Entry): string => `draft:${run.id}:${step.id}:${entry.id}`;

/** What has been keyed of an entry and is no record yet, and how to change it. */
export function useHalfKeyed(run: Session, step: Step, entry: Entry): [string, (text: string) => void] {
  const key = keyOf(run, step, entry);
  const [text, setText] = useState("");
  useEffect(() => {
    recall(key, isText).then((kept) => kept && setText((typed) => typed || kept), reportError);
  }, [key]);
  const change = (next: string) => {
    setText(next);
    (next === "" ? forget(key) : keep(key, next)).catch(console.error);
  };
  return [text, change];
}

/** Once it is in the record. */
export const forgetKeyed = (run: Session, step: Step, entry: Entry): Promise<void> =>
  forget(keyOf(run, step, entry));
