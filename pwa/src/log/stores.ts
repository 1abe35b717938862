import type { DBSchema } from "idb";
import type { PublicKey } from "./key";
import type { StoredEvent } from "./types";

/** The database's name, version and stores: the only place that knows them. */
export const DATABASE = "vesselside";
export const VERSION = 1;

/** What the names of the databases begin with that a page makes and deletes at once. */
export const SCRATCH = "vesselside-scratch:";

export type EventRow = {
  readonly event: StoredEvent;
  /** device and number, on events made here only, so that the index `mine` holds no others */
  readonly mine?: readonly [device: string, number: number];
  /** whose it is, where that is another brewery than this phone's: nothing of it is sent here */
  readonly of?: string;
};

/** Queued for the server as the text that will travel; `at`, counted by the store, is the order of sending. */
export type OutboxRow = {
  readonly at?: number;
  readonly id: string;
  readonly text: string;
  readonly bytes: number;
};

export type AsideRow = {
  readonly id: string;
  readonly kind: "refused" | "quarantined";
  readonly problem: string;
  readonly at: number;
};

/** A stamp of this phone's that the server's clock was found far behind of: when by the server's clock, the stamp's time, how far [ms]. */
export type Leap = { readonly at: number; readonly stamp: number; readonly ahead: number };

/** Where this device's chain stands, how far it has pulled, and what the last answer told of the server's clock. */
export type Head = {
  readonly device: string;
  readonly brewery: string;
  readonly name: string;
  readonly number: number;
  readonly hash: string;
  readonly hlc: string;
  readonly cursor: string;
  /** what the server said of the log at the cursor, and which life of the log that was */
  readonly at?: string | undefined;
  readonly epoch?: string | undefined;
  /** there are events of the server to bring back to it */
  readonly brings?: boolean;
  /** how many records of other breweries wait until the phone is enrolled there again */
  readonly laidBy?: number;
  readonly offset: number;
  readonly reached: number;
  /** the last time its clock was found to have leapt */
  readonly leapt?: Leap | undefined;
  /** the credential was given up, on purpose */
  readonly given?: boolean;
  /** how far this phone had pulled before its database was lost */
  readonly seen?: string | undefined;
  /** set while this phone's chain is its own word: its database was lost, and the office knows nothing of the new key */
  readonly waits?: { readonly was: string; readonly key: PublicKey } | undefined;
};

export type ReferenceRow = { readonly etag: string; readonly reference: object };

/** `unsent` is there, and in its index, until the server has confirmed the photo. */
export type PhotoRow = {
  readonly sha256: string;
  readonly mime: string;
  readonly photo: ArrayBuffer;
  readonly unsent?: 1;
};

export interface Stores extends DBSchema {
  events: {
    key: string;
    value: EventRow;
    indexes: {
      run: [string, string, string];
      type: [string, string, string];
      mine: [string, number];
    };
  };
  outbox: { key: number; value: OutboxRow };
  aside: { key: string; value: AsideRow };
  head: { key: "mine"; value: Head };
  keys: { key: "sign" | "seal"; value: CryptoKey };
  reference: { key: "current"; value: ReferenceRow };
  photos: { key: string; value: PhotoRow; indexes: { unsent: number } };
  kept: { key: string; value: unknown };
}
