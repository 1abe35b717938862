/** Photos by their own hash: kept here, named by a `photo.added` event, sent after it. */
import { hex } from "./bytes";
import { withDatabase } from "./database";
import { NotAccepted, NotSaved } from "./errors";
import type { PhotoRow } from "./stores";

const LONGEST_SIDE = 2_048;
const MAX_BYTES = 4 * 1024 * 1024;
const MIME = "image/jpeg";
const QUALITIES = [0.85, 0.6, 0.4];

export type KeptPhoto = { readonly sha256: string; readonly mime: string; readonly bytes: number };

/** Draws the picture anew (so that place and camera stay out of it) and keeps it; answers what the event names. */
export async function keepPhoto(picture: Blob): Promise<KeptPhoto> {
  const photo = await (await redraw(picture)).arrayBuffer();
  const sha256 = hex(new Uint8Array(await crypto.subtle.digest("SHA-256", photo)));
  try {
    await withDatabase(async (db) => {
      const tx = db.transaction("photos", "readwrite", { durability: "strict" });
      if ((await tx.store.getKey(sha256)) === undefined)
        void tx.store.put({ sha256, mime: MIME, photo, unsent: 1 });
      await tx.done;
    });
  } catch (cause) {
    throw cause instanceof NotSaved ? cause : new NotSaved("this phone could not save the photo", { cause });
  }
  return { sha256, mime: MIME, bytes: photo.byteLength };
}

export async function photo(sha256: string): Promise<Blob | undefined> {
  const row = await withDatabase((db) => db.get("photos", sha256));
  return row && asBlob(row);
}

/** The hashes of photos that the server has not confirmed. */
export const unsentPhotos = (): Promise<string[]> =>
  withDatabase((db) => db.getAllKeysFromIndex("photos", "unsent"));

export async function photoSent(sha256: string): Promise<void> {
  await withDatabase(async (db) => {
    const tx = db.transaction("photos", "readwrite");
    const row = await tx.store.get(sha256);
    if (row) void tx.store.put({ sha256, mime: row.mime, photo: row.photo });
    await tx.done;
  });
}

const asBlob = (row: PhotoRow): Blob => new Blob([row.photo], { type: row.mime });

async function redraw(picture: Blob): Promise<Blob> {
  const bitmap = await createImageBitmap(picture, { imageOrientation: "from-image" }).catch(
    (cause: unknown) => {
      throw new NotAccepted("bad-value", "this is no picture the phone can read", { cause });
    },
  );
  const scale = Math.min(1, LONGEST_SIDE / Math.max(bitmap.width, bitmap.height));
  const canvas = new OffscreenCanvas(Math.round(bitmap.width * scale), Math.round(bitmap.height * scale));
  const pen = canvas.getContext("2d");
  if (pen === null) throw new NotSaved("this phone could not draw the photo");
  pen.drawImage(bitmap, 0, 0, canvas.width, canvas.height);
  bitmap.close();
  for (const quality of QUALITIES) {
    const drawn = await canvas.convertToBlob({ type: MIME, quality });
    if (drawn.size <= MAX_BYTES) return drawn;
  }
  throw new NotAccepted("too-large", "the photo is larger than 4 MiB");
}
