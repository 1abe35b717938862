/** A draft while it is edited: kept on this device at each change, and judged by the office a moment after. */
import { useEffect, useRef, useState } from "preact/hooks";
import { type KeptDraft, keepDraft, recallDraft } from "../../../state/drafts";
import { said } from "../asked";
import { shortName } from "../shortname";
import { type Checked, check, type Form, FRESH, listed, procedureForm, versionOf } from "./answers";
import { at, type Draft, isMap, type Path, put, type Value } from "./draft";

const PAUSE_MS = 500;

export type Loaded = { readonly form: Form; readonly kept: KeptDraft };

/** The form and the draft of that key: the one this device keeps, else a copy of the procedure's newest version. */
export async function loadDraft(key: string): Promise<Loaded | null> {
  const [form, kept] = await Promise.all([procedureForm(), recallDraft(key)]);
  if (kept) return { form, kept };
  const newest = (await listed()).find((row) => row.id === key)?.versions[0];
  if (!newest) return null;
  const { draft } = await versionOf(key, newest.version);
  const base = { id: key, version: newest.version };
  const next = { ...draft, version: newest.version + 1 };
  return { form, kept: { key, base, changed: new Date().toISOString(), draft: next } };
}

export type DraftState = {
  readonly draft: Draft;
  /** What the office says of the draft as it was a moment ago; null until it has answered once. */
  readonly checked: Checked | null;
  /** The office has judged the draft as it stands. */
  readonly current: boolean;
  readonly wrong: string | null;
  readonly change: (path: Path, value: Value | undefined) => void;
};

export function useDraft(first: KeptDraft): DraftState {
  const [draft, setDraft] = useState(first.draft);
  const newest = useRef(first.draft);
  const [judged, setJudged] = useState<{ readonly draft: Draft; readonly checked: Checked } | null>(null);
  const [wrong, setWrong] = useState<string | null>(null);
  const change = (path: Path, value: Value | undefined) => {
    const next = named(put(newest.current, path, value), path, value);
    newest.current = next;
    setDraft(next);
    keepDraft({ ...first, changed: new Date().toISOString(), draft: next }).catch(reportError);
  };
  useEffect(() => {
    let stale = false;
    const ask = () =>
      check(draft).then(
        (checked) => {
          if (stale) return;
          setJudged({ draft, checked });
          setWrong(null);
        },
        (error: unknown) => !stale && setWrong(said(error)),
      );
    const pause = setTimeout(() => void ask(), judged === null ? 0 : PAUSE_MS);
    return () => {
      stale = true;
      clearTimeout(pause);
    };
  }, [draft]);
  const current = judged?.draft === draft;
  return { draft, checked: judged?.checked ?? null, current, wrong, change };
}

/** The short name of a new row follows its title until somebody writes one. */
function named(draft: Draft, path: Path, value: Value | undefined): Draft {
  const field = path.at(-1);
  const level = path.slice(0, -1);
  const row = at(draft, level);
  if (!isMap(row) || row[FRESH] !== true) return draft;
  if (field === "id") return put(draft, [...level, FRESH], undefined);
  if ((field !== "title" && field !== "label") || typeof value !== "string") return draft;
  return put(draft, [...level, "id"], shortName(value) || undefined);
}
