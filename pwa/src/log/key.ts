import { base64url, fromBase64url, utf8 } from "./bytes";

const ALGORITHM = { name: "ECDSA", namedCurve: "P-256" };

export type PublicKey = {
  readonly kty: "EC";
  readonly crv: "P-256";
  readonly x: string;
  readonly y: string;
};

/** A new device key: the private half can never be read out of the browser. */
export async function makeKey(): Promise<{ sign: CryptoKey; shown: PublicKey }> {
  const pair = await crypto.subtle.generateKey(ALGORITHM, false, ["sign", "verify"]);
  const { x, y } = await crypto.subtle.exportKey("jwk", pair.publicKey);
  if (x === undefined || y === undefined) throw new Error("the browser made a key without a point");
  return { sign: pair.privateKey, shown: { kty: "EC", crv: "P-256", x, y } };
}

const SIGNING = { name: "ECDSA", hash: "SHA-256" };

/** ES256 (RFC 7518 section 3.4): r and s, 64 bytes, unpadded base64url. */
export async function sign(key: CryptoKey, text: string): Promise<string> {
  const signature = await crypto.subtle.sign(SIGNING, key, utf8(text));
  return base64url(new Uint8Array(signature));
}

/** Whether the device with this public key signed this text. */
export async function verified(key: PublicKey, text: string, signature: string): Promise<boolean> {
  const bytes = fromBase64url(signature);
  if (bytes?.length !== 64) return false;
  const imported = await crypto.subtle.importKey("jwk", { ...key }, ALGORITHM, false, ["verify"]);
  return crypto.subtle.verify(SIGNING, imported, bytes, utf8(text));
}

export function isPublicKey(value: unknown): value is PublicKey {
  if (typeof value !== "object" || value === null) return false;
  const key = value as Record<string, unknown>;
  return key.kty === "EC" && key.crv === "P-256" && typeof key.x === "string" && typeof key.y === "string";
}
