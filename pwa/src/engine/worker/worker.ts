/** The worker: boots the core, then answers calls in order. What the core did not catch ends this worker. */
import type { Asked, Told } from "../protocol";
import { type Bridge, boot } from "./boot";

const tell = (told: Told): void => postMessage(told);

const bridge: Promise<Bridge | null> = boot().then(
  (call) => {
    tell({ kind: "ready" });
    return call;
  },
  (error: unknown) => {
    tell({ kind: "lost", text: String(error) });
    return null;
  },
);

addEventListener("message", async ({ data }: MessageEvent<Asked>) => {
  const call = await bridge;
  if (call === null) return;
  try {
    tell({ kind: "answer", id: data.id, text: call(data.name, data.args) });
  } catch (error) {
    tell({ kind: "lost", text: String(error) });
  }
});
