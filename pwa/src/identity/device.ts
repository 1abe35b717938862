/** Which device this phone is: enrolled with a code, always as a new one with a new key. */
import { type Signal, signal } from "@preact/signals";
import { enrolDevice, forgetReference, loadReference } from "../api";
import { adopt, forget, giveUp, type Head, headNow, makeKey, recall, whole } from "../log";
import { endHere, loadSession } from "./session";
import { dropVerifiers } from "./verifier";

export type Device = {
  readonly id: string;
  readonly brewery: string;
  readonly name: string;
  /** which device it was before its storage was lost; set until the office knows it under its new key */
  readonly was?: string | undefined;
};

/** undefined until looked up; null when this phone must be enrolled. */
export const device: Signal<Device | null | undefined> = signal(undefined);

let loading: Promise<void> | null = null;

/** Looks up what this phone holds. A key without its log, or a log without its key, counts as not enrolled. */
export function loadIdentity(): Promise<void> {
  loading ??= load().finally(() => {
    loading = null;
  });
  return loading;
}

async function load(): Promise<void> {
  const [head] = await Promise.all([whole(), loadReference(), loadSession()]);
  if (head?.waits) await loadReference(); // it came back with the head
  if (head?.device !== device.peek()?.id || !head) device.value = head && shown(head);
}

/** Enrols this phone. Records of an earlier enrolment stay and are still sent, under their own signatures. */
export async function enrol(code: string, name: string): Promise<void> {
  const { enrolBy } = await import("./enrolling");
  const head = await enrolBy({ adopt, enrolDevice, forget, headNow, makeKey, recall }, code, name);
  if (device.peek()?.was) await endHere(); // who held it meanwhile gave no PIN
  device.value = shown(head);
}

/** Drops this phone's credential: its log was lost or the server no longer knows it. Records stay. */
export async function disown(): Promise<void> {
  await giveUp();
  device.value = null;
}

/**
 * A manager has ended this phone's credential: whoever holds it now is to learn no secret from it. Verifiers, seal, reference
 * and session go, and the key with them; every record stays, and what was not sent waits for a new enrolment.
 */
export async function obeyRevocation(): Promise<void> {
  await endHere();
  await dropVerifiers();
  await forgetReference();
  await disown();
}

const shown = ({ device: id, brewery, name, waits }: Head): Device => ({
  id,
  brewery,
  name,
  was: waits?.was,
});
