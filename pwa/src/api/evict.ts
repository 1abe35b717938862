/** Has the browser forget a photo that it may have kept for a year: it is asked for past the cache, and is not there. */
export async function evict(sha256: string): Promise<void> {
  const { body } = await fetch(`/api/photos/${sha256}`, { cache: "reload", credentials: "same-origin" });
  await body?.cancel();
}
