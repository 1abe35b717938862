/** The figures of one sum while they are given: kept on this phone with each key, and found again next time. */
import { useEffect, useState } from "preact/hooks";
import {
  type Asked,
  type Calculation,
  type Figures,
  forgetFigures,
  given,
  keepFigures,
  lastFigures,
  type SumInput,
} from "../../state/sums";

/** A number on the form: an input, or a cell of one that takes rows. */
export type Spot = { readonly input: string; readonly row: number; readonly column: number };

export const sameSpot = (one: Spot | null, other: Spot): boolean =>
  one?.input === other.input && one.row === other.row && one.column === other.column;

export type Held = {
  readonly figures: Figures | null;
  /** Whether they were there when the sum was opened. */
  readonly kept: boolean;
  readonly change: (figures: Figures) => void;
  readonly clear: () => void;
};

export function useFigures(row: Calculation): Held {
  const [figures, setFigures] = useState<Figures | null>(null);
  const [kept, setKept] = useState(false);
  useEffect(() => {
    lastFigures(row.name).then((last) => {
      setFigures((typed) => typed ?? last);
      setKept(Object.keys(given(last)).length > 0);
    }, reportError);
  }, [row.name]);
  return {
    figures,
    kept,
    change: (next) => {
      setFigures(next);
      keepFigures(row.name, next).catch(console.error);
    },
    clear: () => {
      setFigures({});
      setKept(false);
      forgetFigures(row.name).catch(console.error);
    },
  };
}

/** The rows of a series as the form shows them: at least as many as it needs. */
export function rowsOf(input: SumInput, figures: Figures): readonly (readonly string[])[] {
  const held = figures[input.id];
  const rows = Array.isArray(held) ? (held as readonly (readonly string[])[]) : [];
  const empty = (input.columns ?? []).map(() => "");
  const lacking = Array.from({ length: Math.max(0, (input.rows ?? 1) - rows.length) }, () => empty);
  return [...rows, ...lacking];
}

/** Every number on the form, in the order it is read. */
export function spotsOf(row: Calculation, figures: Figures): readonly { spot: Spot; asked: Asked }[] {
  return row.inputs.flatMap((input) => {
    if (input.kind === "series")
      return rowsOf(input, figures).flatMap((_, at) =>
        (input.columns ?? []).map((asked, column) => ({ spot: { input: input.id, row: at, column }, asked })),
      );
    return input.kind ? [] : [{ spot: { input: input.id, row: 0, column: 0 }, asked: input }];
  });
}

export function read(figures: Figures, { input, row, column }: Spot): string {
  const held = figures[input] ?? "";
  return typeof held === "string" ? held : (held[row]?.[column] ?? "");
}

/** The figures with another text at one spot. */
export function written(sum: Calculation, figures: Figures, spot: Spot, text: string): Figures {
  const input = sum.inputs.find((row) => row.id === spot.input);
  if (input?.kind !== "series") return { ...figures, [spot.input]: text };
  const rows = rowsOf(input, figures).map((cells, at) =>
    at === spot.row ? cells.map((cell, column) => (column === spot.column ? text : cell)) : cells,
  );
  return { ...figures, [spot.input]: rows };
}
