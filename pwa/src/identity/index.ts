/**
 * Who this phone is, and who holds it.
 *
 *   device: Signal<{id, brewery, name, was?} | null | undefined>   undefined until looked up; null: to be enrolled;
 *                                                 `was`: storage was lost, to be enrolled again, and recording meanwhile
 *   loadIdentity() → Promise<void>                call once at start (startSync does)
 *   enrol(code, name) → Promise<void>             a new key and a new device, always
 *   isBegun() → Promise<boolean>;  begin(beginning) → Promise<void>   a server’s first brewery, with this browser as its desk
 *   people() → ReferencePerson[]                  from the last reference
 *   signIn(person, secret) → Promise<SignInAnswer>   online if the server answers, else by the offline verifier
 *   unlock(secret) → Promise<SignInAnswer>        the same person again, after idling
 *   goOnAs(person) → Promise<void>                on a phone that lost its storage, and cannot judge a PIN
 *   verifyPerson(person, secret) → Promise<SignInAnswer>   a second person's signature; leaves the session alone
 *   signOut() → Promise<void>                     deletes no record
 *   obeyRevocation() · goByPeople() · goBySecrets(events)   for sync alone: what the office said of phones and people
 *   payEnding() → Promise<void>                   ends at the server what was locked or signed out with no signal
 *   current: Signal<{id, name, role} | null>;  locked: Signal<boolean>
 *   touched()                                     call on any input: the phone locks after 15 idle minutes
 *   NoNetwork, Problem                            why enrolling failed: nobody answered, or the office refused
 *   SignInAnswer = {ok: true, person, online} | {ok: false, why: "wrong" | "wait" | "no-verifier" | "lapsed" | "not-enrolled" | "unknown-person", until?}
 */
export { NoNetwork, Problem, type ReferencePerson } from "../api";
export { begin, isBegun } from "./beginning";
export { type Device, device, disown, enrol, loadIdentity, obeyRevocation } from "./device";
export { payEnding } from "./ending";
export {
  goByPeople,
  goBySecrets,
  goOnAs,
  people,
  type SignInAnswer,
  signIn,
  signOut,
  unlock,
  verifyPerson,
} from "./people";
export { current, locked, type Person, touched } from "./session";
