/** The shapes of the answers, as far as the phone relies on them; fields added later pass through unread. */

import type { JsonObject, PushResult, StoredEvent } from "../log";
import {
  type Caution,
  type InstrumentCard,
  type PersonCard,
  type Procedure,
  type Recipe,
  ROLE,
  type Role,
  type RunHeld,
  type RunLine,
  type TreeHead,
  type VesselCard,
} from "../shapes";

export type { Caution, PersonCard as ReferencePerson, Procedure, Role, TreeHead, VesselCard as Vessel };

export type Reference = {
  readonly version: string | number;
  readonly minCore: string;
  readonly procedures: readonly Procedure[];
  readonly cautions: readonly Caution[];
  readonly vessels: readonly VesselCard[];
  readonly people: readonly PersonCard[];
  readonly recipes: readonly Recipe[];
  /** An older office lists none. */
  readonly instruments?: readonly InstrumentCard[];
  readonly settings: JsonObject;
  /** An older office names none of them. */
  readonly devices?: readonly { readonly id: string; readonly name?: string }[];
};

export type Enrolled = { readonly device: string; readonly brewery: string; readonly now: Instant };
/** `event` is the server's record of the sign-in; an older office gives none. */
export type Session = { readonly person: string; readonly role: Role; readonly event?: StoredEvent };

/** A moment by the server's clock: RFC 3339 text. */
export type Instant = string;

export type SyncAnswer = {
  readonly results: readonly PushResult[];
  readonly events: readonly StoredEvent[];
  readonly cursor: string;
  readonly more: boolean;
  readonly now: Instant;
  readonly digests: Readonly<Record<string, string>>;
  readonly withheld: readonly string[];
  /** An older office says none of these. */
  readonly at?: string;
  readonly epoch?: string;
  readonly head?: TreeHead | null;
  readonly returned?: readonly PushResult[];
};

export type { RunLine as RunSummary };
export type RunFilters = {
  readonly vessel?: string;
  readonly procedure?: string;
  readonly kind?: string;
  readonly status?: string;
  readonly person?: string;
  readonly found?: string;
  readonly review?: string;
  readonly sort?: string;
  readonly from?: string;
  readonly to?: string;
  readonly after?: string;
  readonly limit?: number;
};
export type RunPage = {
  readonly runs: readonly RunLine[];
  readonly next: string | null;
  /** How many runs match, and how many there are at all; an older office says neither. */
  readonly total?: number;
  readonly held?: number;
  /** Runs shown as they were before their newest records. */
  readonly behind?: number;
};
export type RunAnswer = { readonly run: RunHeld; readonly events: readonly StoredEvent[] };
export type VesselPage = { readonly vessels: readonly VesselCard[] };

type Fields = Record<string, unknown>;

const STATUSES = ["stored", "repeat", "quarantined", "refused"];

const isObject = (value: unknown): value is Fields =>
  typeof value === "object" && value !== null && !Array.isArray(value);
const isText = (value: unknown): value is string => typeof value === "string";
const isInstant = (value: unknown): value is Instant => isText(value) && !Number.isNaN(Date.parse(value));
const isRole = (value: unknown): value is Role => ROLE.some((role) => role === value);
const hasId = (value: unknown): boolean => isObject(value) && isText(value.id);
const listOf = (value: unknown, each: (item: unknown) => boolean): boolean =>
  Array.isArray(value) && value.every(each);

export const isNothing = (value: unknown): value is null => value === null;

export const isEnrolled = (value: unknown): value is Enrolled =>
  isObject(value) && isText(value.device) && isText(value.brewery) && isInstant(value.now);

export const isSession = (value: unknown): value is Session =>
  isObject(value) && isText(value.person) && isRole(value.role);

const isResult = (value: unknown): value is PushResult =>
  isObject(value) && isText(value.id) && isText(value.status) && STATUSES.includes(value.status);

export const isSyncAnswer = (value: unknown): value is SyncAnswer =>
  isObject(value) &&
  listOf(value.results, isResult) &&
  listOf(value.events, hasId) &&
  isText(value.cursor) &&
  /^\d{16}$/.test(value.cursor) &&
  typeof value.more === "boolean" &&
  isInstant(value.now) &&
  isObject(value.digests) &&
  Object.values(value.digests).every(isText) &&
  listOf(value.withheld, isText);

const isPerson = (value: unknown): value is PersonCard =>
  isObject(value) && isText(value.id) && isText(value.name) && isRole(value.role);

export const isReference = (value: unknown): value is Reference =>
  isObject(value) &&
  isText(value.minCore) &&
  listOf(value.procedures, hasId) &&
  listOf(value.cautions, hasId) &&
  listOf(value.vessels, hasId) &&
  listOf(value.people, isPerson) &&
  Array.isArray(value.recipes) &&
  isObject(value.settings);

export const isRunPage = (value: unknown): value is RunPage =>
  isObject(value) && listOf(value.runs, hasId) && (value.next === null || isText(value.next));

export const isRunAnswer = (value: unknown): value is RunAnswer =>
  isObject(value) && hasId(value.run) && listOf(value.events, hasId);

export const isVesselPage = (value: unknown): value is VesselPage =>
  isObject(value) && listOf(value.vessels, hasId);
