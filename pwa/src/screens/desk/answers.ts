/** What the desk asks the office for, and the shapes of its answers. */
import { read, send } from "../../api";
import type { Administered, FillStanding, LogDoubted, LogRestored, StandingRun } from "../../shapes";
import type { InstrumentView, RunLine, StoredEvent, VesselView } from "../../state/view";

type Fields = Readonly<Record<string, unknown>>;
const isFields = (value: unknown): value is Fields => typeof value === "object" && value !== null;
/** Told where this person's desk is still open at the office; asking keeps it so. */
export const deskOpen = (): Promise<unknown> => read("/api/session", isFields);

const isNull = (value: unknown): value is null => value === null;

/** The board's row as the office gives it: with moments as text. */
export type VesselDue = Omit<VesselView, "chemical" | "check_due" | "proved_until" | "sanitised_until"> & {
  readonly check_due: string | null;
  readonly proved_until: string | null;
  readonly sanitised_until: string | null;
};
export type NeedKind = "faults" | "deviations" | "contested" | "reviews";
export type Needs = {
  readonly counts: Readonly<
    Record<NeedKind | "quarantine" | "vessels" | "instruments" | "announcements", number>
  >;
  /** An answer kept from an older version lacks a kind. */
  readonly runs: Readonly<Partial<Record<NeedKind, readonly RunLine[]>>>;
  readonly vessels: readonly VesselDue[];
  readonly instruments: readonly InstrumentView<string>[];
  readonly overrides: readonly Overridden[];
  readonly announcements: readonly Administered[];
  /** An older office tells none of these. */
  readonly holds?: readonly VesselDue[];
  readonly checks?: readonly VesselDue[];
  readonly standing?: readonly StandingRun[];
  readonly filling?: readonly FillStanding[];
  readonly silent?: readonly Device[];
  readonly doubts?: readonly LogDoubted[];
  readonly restores?: readonly LogRestored[];
};
export type Overridden = {
  readonly interlock: string;
  readonly title: string;
  readonly runs: number;
  readonly overridden: number;
  readonly redesign: boolean;
};
export type Device = {
  readonly id: string;
  readonly name: string;
  readonly enrolled: string;
  readonly revoked: string | null;
  readonly heard: string | null;
  readonly number: number;
  readonly offset_ms: number | null;
};
export type Quarantined = {
  readonly sequence: string;
  readonly recordedtime: string;
  readonly problem: string;
  readonly run: string | null;
  readonly event: Partial<StoredEvent>;
};
export type Administration = {
  readonly administration: readonly Administered[];
  readonly next: string | null;
};
export type Code = { readonly code: string; readonly expires: string };

const isNeeds = (value: unknown): value is Needs =>
  isFields(value) &&
  isFields(value.counts) &&
  isFields(value.runs) &&
  Array.isArray(value.vessels) &&
  Array.isArray(value.instruments) &&
  Array.isArray(value.overrides) &&
  Array.isArray(value.announcements);
/** A run that waits for its review, with the digest of the records that the office made its line from. */
export type Waiting = RunLine & { readonly digest?: string };
export type Reviews = { readonly reviews: readonly Waiting[]; readonly next: string | null };
const isReviews = (value: unknown): value is Reviews => isFields(value) && Array.isArray(value.reviews);
const isDevices = (value: unknown): value is { devices: readonly Device[] } =>
  isFields(value) && Array.isArray(value.devices);
const isQuarantine = (value: unknown): value is { quarantine: readonly Quarantined[]; next: string | null } =>
  isFields(value) && Array.isArray(value.quarantine);
const isAdministration = (value: unknown): value is Administration =>
  isFields(value) && Array.isArray(value.administration);
const isCode = (value: unknown): value is Code =>
  isFields(value) && typeof value.code === "string" && typeof value.expires === "string";

export const needs = (): Promise<Needs> => read("/api/desk/needs", isNeeds);
/** The runs that wait longest for a review, as many as one answer holds. */
export const reviews = (): Promise<Reviews> => read("/api/desk/reviews?limit=200", isReviews);
export const devices = async (): Promise<readonly Device[]> =>
  (await read("/api/desk/devices", isDevices)).devices;
export const quarantine = (
  after?: string,
): ReturnType<typeof read<{ quarantine: readonly Quarantined[]; next: string | null }>> =>
  read(after ? `/api/desk/quarantine?after=${after}` : "/api/desk/quarantine", isQuarantine);
export const administration = (after?: string): Promise<Administration> =>
  read(after ? `/api/desk/administration?after=${after}` : "/api/desk/administration", isAdministration);
export const putAway = (through: string): Promise<null> =>
  send("PUT", "/api/desk/announcements", { through }, isNull);
export const makeCode = (name: string): Promise<Code> => send("POST", "/api/desk/codes", { name }, isCode);
export const revoke = (device: string, reason: string): Promise<null> =>
  send("POST", `/api/desk/devices/${encodeURIComponent(device)}/revocation`, { reason }, isNull);
