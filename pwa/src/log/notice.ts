import type { LogChange } from "./types";

const channel = new BroadcastChannel("vesselside-log");
const listeners = new Set<(change: LogChange) => void>();

channel.onmessage = ({ data }: MessageEvent<LogChange>) => hear(data);

/** Tells this tab and every other one that the log has grown. */
export function tell(change: LogChange): void {
  hear(change);
  channel.postMessage(change);
}

/** Calls `told` on every change, made here or in another tab, until the returned function is called. */
export function onChange(told: (change: LogChange) => void): () => void {
  listeners.add(told);
  return () => listeners.delete(told);
}

/** The change has happened: a listener that fails keeps neither the others nor the writer from it. */
function hear(change: LogChange): void {
  for (const told of listeners)
    try {
      told(change);
    } catch (error) {
      reportError(error);
    }
}
