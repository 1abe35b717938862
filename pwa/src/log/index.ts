/**
 * The phone's own append-only log (IndexedDB `vesselside`). Nothing in it is rewritten or removed.
 *
 *   append(draft) → Promise<StoredEvent>          resolves only when the transaction has completed
 *   appendAll(drafts) → Promise<StoredEvent[]>    all of them or none, in one transaction
 *   appendMade(make) → Promise<StoredEvent[]>     the same, of the drafts that `make` gives for the stamp they will carry
 *   eventsOf(run) · admin() · ofType(type) → Promise<StoredEvent[]>   in order of (hlc, id)
 *   eventOf(id) → Promise<StoredEvent | undefined>
 *   runs() → Promise<KnownRun[]>                  newest first
 *   waiting() → Promise<number>                   records not yet acknowledged by the server
 *   refused() → Promise<Refusal[]>
 *   keepPhoto(blob) → Promise<{sha256, mime, bytes}>;  photo(sha256) → Promise<Blob | undefined>
 *   digest(run) → Promise<string>
 *   onChange(told) → stop()                       also for changes made in other tabs
 *   keep(key, value) · recall<T>(key, shape) · keptUnder<T>(prefix, shape) · forget(key)   small things that are no record: last views, half-keyed entries
 *   logState: Signal<LogState>; reopen()          "blocked" and "failed" can be tried again
 *   NotSaved                                      the blocking error: the record was not saved
 *   NotAccepted {code, text}                      the draft breaks a limit; nothing was numbered
 *   NotEnrolled                                   this phone has no key or no log: enrol it again
 *
 * Doors of their own, for what is loaded only when it is needed: `log/back` when a server has gone back, `log/redacted`
 * when something is taken out of a record, and `log/carry`, phone to phone:
 *   exportRun(run) → Promise<string>;  importText(text) → Promise<{taken, held}>
 *
 * For identity and sync alone: adopt, giveUp, whole, headNow, makeKey, sealed, unsealed, breakSeal, forgetUnder, batch,
 * receive, heldReference, holdReference, dropReference, unsentPhotos, photoSent.
 */

export { adopt } from "./adopt";
export { append, appendAll, appendMade, type Stamp } from "./append";
export { logState, reopen } from "./database";
export { NotAccepted, NotEnrolled, NotSaved } from "./errors";
export { giveUp, headNow } from "./head";
export { type Inner, inner } from "./inner";
export { journalState } from "./journal/journal";
export { forget, forgetUnder, keep, keptUnder, recall } from "./kept";
export type { PublicKey } from "./key";
export { makeKey } from "./key";
export { onChange } from "./notice";
export { keepOthers, whole } from "./opening";
export { type KeptPhoto, keepPhoto, photo, photoSent, unsentPhotos } from "./photos";
export { admin, digest, eventOf, eventsOf, ofType, refused, runs, waiting } from "./query";
export { batch } from "./queue";
export { type Exchange, type Received, receive } from "./receive";
export { dropReference, heldReference, holdReference } from "./reference";
export { breakSeal, sealed, unsealed } from "./seal";
export type { Head, Leap, OutboxRow } from "./stores";
export { runSubject } from "./subjects";
export type {
  Draft,
  Json,
  JsonObject,
  KnownRun,
  LogChange,
  LogState,
  PushResult,
  Refusal,
  SignedEvent,
  StoredEvent,
} from "./types";
