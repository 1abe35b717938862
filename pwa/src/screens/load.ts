/** Loads what the vessel does not need at once, with its words. */
export async function later(): Promise<typeof import("./later")> {
  const parts = await import("./later");
  await parts.spoken;
  return parts;
}
