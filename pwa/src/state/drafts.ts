/** Procedures that are being written: each kept on this device until it is published. */
import { forget, keep, keptUnder, recall } from "../log";

export type Value = string | number | boolean | null | readonly Value[] | { readonly [key: string]: Value };
export type Draft = { readonly [key: string]: Value };

export type KeptDraft = {
  readonly key: string;
  /** The version this is the next one of; null for a procedure of its own. */
  readonly base: { readonly id: string; readonly version: number } | null;
  readonly changed: string;
  readonly draft: Draft;
};

const PREFIX = "procedure-draft:";
const isKept = (value: unknown): value is KeptDraft =>
  typeof value === "object" && value !== null && "draft" in value && "key" in value && "changed" in value;

export const keepDraft = (kept: KeptDraft): Promise<void> => keep(PREFIX + kept.key, kept);
export const recallDraft = (key: string): Promise<KeptDraft | undefined> => recall(PREFIX + key, isKept);
export const forgetDraft = (key: string): Promise<void> => forget(PREFIX + key);
export const drafts = (): Promise<KeptDraft[]> => keptUnder(PREFIX, isKept);

/** Keeps a draft of a procedure that is not published yet; its key. */
export async function beginDraft(draft: Draft): Promise<string> {
  const key = `new-${crypto.randomUUID().slice(0, 8)}`;
  await keepDraft({ key, base: null, changed: new Date().toISOString(), draft });
  return key;
}
