/** The door to `moved`, which is loaded only when a phone is enrolled. */
import { inner } from "./inner";
import type { Identity } from "./moved";
import type { Head } from "./stores";

/**
 * Takes on a new identity; what an earlier one recorded stays. Without a key it is the office's word for the chain that this
 * phone has begun by itself: that goes on.
 */
export const adopt = async (identity: Identity, key?: CryptoKey): Promise<Head> =>
  (await import("./moved")).adopt(inner, identity, key);
