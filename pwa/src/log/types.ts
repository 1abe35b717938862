/** The shapes the log keeps and hands out. The envelope is CloudEvents 1.0 in JSON. */

export type Json = string | number | boolean | null | readonly Json[] | JsonObject;
export type JsonObject = { readonly [key: string]: Json };

/** What a screen hands over; the log adds everything else. */
export type Draft = {
  readonly type: string;
  readonly subject: string;
  readonly person: string;
  readonly data: JsonObject;
};

/** An event as this phone made it: signed, and no longer to be changed. */
export type SignedEvent = Draft & {
  readonly specversion: "1.0";
  readonly id: string;
  readonly source: string;
  readonly time: string;
  readonly hlc: string;
  readonly seen: string;
  readonly number: number;
  readonly prevhash: string;
  readonly signature: string;
};

/** An event as held: one that came from the server also carries the server's two attributes. */
export type StoredEvent = SignedEvent & {
  readonly sequence?: string;
  readonly recordedtime?: string;
  /** of the server's own: which log it is in */
  readonly log?: string;
  /** the hash of the record as it was signed, where a redaction took something out of it */
  readonly redacted?: string;
};

/** A record the server would not store. It stays here until the person has dealt with it. */
export type Refusal = {
  readonly id: string;
  readonly event: StoredEvent;
  readonly problem: string;
  readonly at: number;
};

/** What the server said of one pushed event. */
export type PushResult = {
  readonly id: string;
  readonly status: "stored" | "repeat" | "quarantined" | "refused";
  readonly sequence?: string;
  readonly problem?: string;
};

/** A run this phone holds something of. */
export type KnownRun = { readonly run: string; readonly opened: StoredEvent };

/**
 * Told to every tab: which subjects grew, and whether there are records newly waiting for the server; `events` are all
 * the ids that are new, where they are known; `again`: records that were held are others now.
 */
export type LogChange = {
  readonly subjects: readonly string[];
  readonly made: boolean;
  readonly events?: readonly string[];
  readonly again?: true;
};

export type LogState = "closed" | "opening" | "open" | "blocked" | "failed";
