/** What `back` and `redacted` are handed of the page: an import of it would have the bundler split the page's own code in two. */
import { isEnrolled, judged, NoNetwork, patience, photoAddress, read, type SyncAnswer, send } from "../api";
import { obeyRevocation } from "../identity";
import { inner, type OutboxRow, onChange, photo, photoSent } from "../log";
import { show, syncState } from "./state";

export const page = {
  ...inner,
  read,
  send,
  isEnrolled,
  NoNetwork,
  obeyRevocation,
  show,
  syncState,
  onChange,
  photo,
  judged,
  patience,
  photoAddress,
  photoSent,
};
export type Page = typeof page;

/** What an exchange came to. */
export type Outcome = {
  /** this phone's device */
  readonly device: string;
  readonly sent: readonly OutboxRow[];
  readonly answer: SyncAnswer;
  /** something was settled or the cursor moved, so asking again at once will bring more */
  readonly moved: boolean;
  /** the server holds events of this device that this phone does not: its log was lost */
  readonly lost: boolean;
  /** this phone's own clock is far ahead of the server's: its wall clock had leapt */
  readonly leapt: boolean;
};
