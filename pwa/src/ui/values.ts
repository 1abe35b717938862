/** A value of the record as it is read. */
import { t } from "../messages";
import type { Entry, EntryRecord } from "../state/view";
import { figure } from "./figures";

/** A choice by its label, a photo in a word (its value is the hash of it), anything else as it stands. */
export function valueText(entry: Entry, value: string): string {
  if (entry.kind === "photo") return t("photo-taken");
  return entry.options?.find((option) => option.id === value)?.label ?? value;
}

/** "4.75 bar", or the label of what was chosen. */
export function entryText(entry: Entry, record: Pick<EntryRecord, "value" | "unit">): string {
  const value = figure(valueText(entry, record.value));
  return record.unit ? `${value} ${record.unit}` : value;
}
