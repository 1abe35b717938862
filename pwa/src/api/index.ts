/**
 * The only caller of fetch. Anything but the right status, media type and shape is NoNetwork.
 *
 *   NoNetwork                                     unreachable, too slow, or a page that is not ours
 *   Problem {kind, status, detail, retryAfter?}   application/problem+json, `kind` is the part after urn:vesselside:
 *   enrolDevice(code, name, key, more) → {device, brewery, now}
 *   beginSession(person, {pin} | {password}) → {person, role};  endSession()
 *   exchange(body text) → SyncAnswer
 *   fetchReference(etag | null) → {etag, reference} | "unchanged"
 *   runs(filters) → {runs, next};  run(id);  vessels()
 *   read(path, shape) → T                         any other GET, checked by `shape`
 *   send(method, path, body, shape) → T           any other call with a JSON body
 *   photoAddress(sha256) → where an <img> finds it; photos are sent by `upload`, loaded when there are any
 */

export type { Secret } from "./calls";
export {
  beginSession,
  checkSecret,
  endSession,
  enrolDevice,
  exchange,
  fetchReference,
  photoAddress,
  read,
  run,
  runs,
  send,
  vessels,
} from "./calls";
export { NoNetwork, Problem, type ProblemKind } from "./errors";
export { forgetReference, loadReference, reference, refreshReference } from "./reference";
export { judged, patience, type Shape } from "./request";
export type {
  Caution,
  Procedure,
  Reference,
  ReferencePerson,
  Role,
  RunAnswer,
  RunFilters,
  RunPage,
  RunSummary,
  SyncAnswer,
  TreeHead,
  Vessel,
} from "./shapes";
export { isEnrolled, isNothing } from "./shapes";
