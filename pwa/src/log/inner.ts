/** What `back` and the journal's seldom parts are handed of the log's inside. */
import { sha256, utf8 } from "./bytes";
import { canonical, chainText } from "./canonical";
import { merge, mergeable, write } from "./clock";
import { withDatabase } from "./database";
import { isEvent } from "./envelope";
import { forgetStanding, headNow, standing } from "./head";
import { ask, keepBeside } from "./journal/journal";
import { makeKey, sign } from "./key";
import { tell } from "./notice";
import { addUnlessHeld } from "./receive";
import { heldReference } from "./reference";
import { everyRun, runSubject, subjectRange } from "./subjects";
import { uuid7 } from "./uuid";

export const inner = {
  withDatabase,
  chainText,
  canonical,
  utf8,
  sha256,
  merge,
  mergeable,
  write,
  isEvent,
  addUnlessHeld,
  forgetStanding,
  standing,
  headNow,
  heldReference,
  makeKey,
  sign,
  tell,
  uuid7,
  ask,
  keepBeside,
  everyRun,
  runSubject,
  subjectRange,
};
export type Inner = typeof inner;
