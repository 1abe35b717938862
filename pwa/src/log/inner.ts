/** What `back` is handed of the log's inside. */
import { utf8 } from "./bytes";
import { canonical, chainText } from "./canonical";
import { withDatabase } from "./database";
import { forgetStanding, headNow, standing } from "./head";
import { sign } from "./key";
import { tell } from "./notice";
import { heldReference } from "./reference";
import { everyRun, runSubject, subjectRange } from "./subjects";

export const inner = {
  withDatabase,
  chainText,
  canonical,
  utf8,
  forgetStanding,
  standing,
  headNow,
  heldReference,
  sign,
  tell,
  everyRun,
  runSubject,
  subjectRange,
};
export type Inner = typeof inner;
