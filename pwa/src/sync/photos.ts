import { NoNetwork, Problem, sendPhoto } from "../api";
import { photo, photoSent, unsentPhotos } from "../log";

/** Sends what photos wait, after the events that name them. One the server will not take stays here. */
export async function sendPhotos(): Promise<void> {
  for (const sha256 of await unsentPhotos()) {
    const picture = await photo(sha256);
    if (!picture || turnedDown.has(sha256)) continue;
    try {
      await sendPhoto(sha256, picture);
      await photoSent(sha256);
    } catch (error) {
      if (error instanceof NoNetwork) throw error;
      if (!(error instanceof Problem) || error.status === 401 || error.retryAfter !== null) throw error;
      turnedDown.add(sha256);
    }
  }
}

/** Not tried again before the app is next started. */
const turnedDown = new Set<string>();
