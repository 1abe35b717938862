/** The last reference this phone holds: procedures, cautions, vessels, people, settings. */
import { type Signal, signal } from "@preact/signals";
import { dropReference, heldReference, holdReference } from "../log";
import { fetchReference } from "./calls";
import { isReference, type Reference } from "./shapes";

export const reference: Signal<Reference | null> = signal(null);

/** Shows what is held from before; what an older version held otherwise is fetched again. */
export async function loadReference(): Promise<void> {
  const held = await heldReference();
  if (held && isReference(held.reference)) reference.value = held.reference;
}

/** Takes the reference off this phone. */
export async function forgetReference(): Promise<void> {
  await dropReference();
  reference.value = null;
}

/** Fetches the reference if it has changed; one that `fits` turns down is not taken over. */
export async function refreshReference(
  fits: (wanted: Reference) => Promise<boolean>,
): Promise<"taken" | "unchanged" | "turned-down"> {
  const held = reference.peek() === null ? undefined : await heldReference();
  const answer = await fetchReference(held?.etag || null);
  if (answer === "unchanged") return answer;
  if (!(await fits(answer.reference))) return "turned-down";
  await holdReference({ etag: answer.etag, reference: answer.reference });
  reference.value = answer.reference;
  return "taken";
}
