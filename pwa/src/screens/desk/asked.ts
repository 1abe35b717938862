/** Asking the office for something a screen shows: the answer, or in words why there is none. */
import { useEffect, useState } from "preact/hooks";
import { NoNetwork, Problem } from "../../api";
import { t } from "../../messages";

export type Asked<T> = {
  readonly answer: T | null;
  readonly wrong: string | null;
  readonly again: () => void;
  /** How many runs the answer shows as they were, since the office has not worked in their newest records yet. */
  readonly behind: number;
};

/** How soon an answer that was behind is asked for again [ms]. */
const SOON_MS = 4_000;

const behindOf = (answer: unknown): number => {
  const { behind } = (answer ?? {}) as { readonly behind?: unknown };
  return typeof behind === "number" ? behind : 0;
};

/** Asks once on showing, again when `key` changes or `again` is called, and soon when the answer was behind. */
export function useAsked<T>(ask: () => Promise<T>, key: string): Asked<T> {
  const [answer, setAnswer] = useState<T | null>(null);
  const [wrong, setWrong] = useState<string | null>(null);
  const [turn, setTurn] = useState(0);
  useEffect(() => {
    let stale = false;
    ask().then(
      (given) => {
        if (stale) return;
        setAnswer(given);
        setWrong(null);
      },
      (error: unknown) => !stale && setWrong(said(error)),
    );
    return () => {
      stale = true;
    };
  }, [key, turn]);
  const behind = behindOf(answer);
  useEffect(() => {
    if (behind === 0) return;
    const soon = setTimeout(() => setTurn(turn + 1), SOON_MS);
    return () => clearTimeout(soon);
  }, [answer]);
  return { answer, wrong, again: () => setTurn(turn + 1), behind };
}

/** What went wrong, in words; what nobody foresaw stands in the console as well. */
export function said(error: unknown): string {
  if (error instanceof NoNetwork) return t("desk-unreachable");
  if (!(error instanceof Problem)) {
    console.error(error);
    return t("desk-failed");
  }
  if (error.status === 401 || error.status === 403) return t("desk-not-manager");
  return error.detail || t("desk-refused");
}
