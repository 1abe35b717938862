/** What page and journal say to each other. Each question has an answer, or an error with its name. */

/** What is kept beside the lines, one file each: who this phone is; the reference; what others made that it needs. */
export type KeptName = "enrolled" | "reference" | "others";

export type Question =
  /** appends text, whole lines, to this life's own file */
  | { readonly do: "write"; readonly text: string }
  /** the newest line of a source: LastLine */
  | { readonly do: "last"; readonly source: string }
  /** everything: Read */
  | { readonly do: "read" }
  /** keeps text under a name in place of what is there; no text takes it away */
  | { readonly do: "put"; readonly name: KeptName; readonly text: string }
  /** under which names something is kept: KeptName[] */
  | { readonly do: "names" }
  /** files not written since, and not being written: Old[] */
  | { readonly do: "old"; readonly before: number }
  | { readonly do: "drop"; readonly file: string }
  /** takes the lines of these records out of every file, and what is kept of others */
  | { readonly do: "without"; readonly ids: readonly string[] };

export type Asked = Question & { readonly id: number };
export type Told =
  | { readonly id: number; readonly answer: unknown }
  | { readonly id: number; readonly error: { readonly name: string; readonly text: string } };

export type LastLine = { readonly number: number } | null;
export type Read = {
  /** as they were signed, in the order they were written within a file */
  readonly lines: readonly string[];
  /** lines that were cut short, or are none */
  readonly torn: number;
  readonly kept: { readonly [name in KeptName]?: string };
};
export type Old = { readonly file: string; readonly ids: readonly string[] };
