/** Whether entries are being keyed in from a printed sheet; they are marked so in the record. */
import { signal } from "@preact/signals";

export const paper = signal(false);

export const how = (): "paper" | "keyed" => (paper.peek() ? "paper" : "keyed");
