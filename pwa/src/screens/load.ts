import { useEffect, useState } from "preact/hooks";

export type Parts = typeof import("./later");

/** Loads what the vessel does not need at once, with its words. */
export async function later(): Promise<Parts> {
  const parts = await import("./later");
  await parts.spoken;
  return parts;
}

/** What is loaded later, once it is there; for what is not needed at once on a screen that is. */
export function useLater(): Parts | null {
  const [parts, setParts] = useState<Parts | null>(null);
  useEffect(() => {
    later().then(setParts, reportError);
  }, []);
  return parts;
}
