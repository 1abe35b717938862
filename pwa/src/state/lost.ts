/** What this phone's storage lost and its journal gave back, until the office has been told. */
import { recall } from "../log";

/** `records` came back; `torn` lines were cut short. */
export type Lost = { readonly at: number; readonly records: number; readonly torn: number };

const isLost = (value: unknown): value is Lost => {
  const said = (value ?? {}) as Partial<Lost>;
  return [said.at, said.records, said.torn].every((each) => typeof each === "number");
};

export const lost = async (): Promise<Lost | null> => (await recall("lost", isLost)) ?? null;
