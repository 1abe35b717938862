/**
 * The page's side of the core's worker.
 *
 * 1. Calls are answered in the order they were asked.
 * 2. A worker that dies, or does not answer in time, fails every call it owes with "engine-lost";
 *    the next call starts a new one.
 * 3. A new worker has forgotten every run: `generation` tells.
 */
import { type Signal, signal } from "@preact/signals";
import { readAnswer } from "./answer";
import { EngineError } from "./errors";
import type { Asked, Told } from "./protocol";

const START_LIMIT_MS = 30_000;
const CALL_LIMIT_MS = 15_000;

type Owed = { readonly resolve: (text: string) => void; readonly reject: (error: EngineError) => void };
type Running = {
  readonly worker: Worker;
  readonly ready: Promise<void>;
  readonly owed: Map<number, Owed>;
  lose: (text: string) => void;
};

export const engineState: Signal<"off" | "starting" | "ready" | "failed"> = signal("off");
export const generation: Signal<number> = signal(0);

let running: Running | null = null;
let lastId = 0;

/** Resolves when the core can be called. */
export function startEngine(): Promise<void> {
  running ??= boot();
  return running.ready;
}

/** One call of the core's bridge. The caller knows the shape: core and screens ship in one revision. */
export async function call<T>(name: string, args: object): Promise<T> {
  await startEngine();
  const text = await ask({ id: ++lastId, name, args: JSON.stringify(args) });
  return readAnswer(text) as T;
}

function ask(asked: Asked): Promise<string> {
  const engine = running;
  if (engine === null) return Promise.reject(new EngineError("engine-lost", "the core has stopped"));
  return new Promise((resolve, reject) => {
    const limit = setTimeout(() => engine.lose(`no answer to ${asked.name}`), CALL_LIMIT_MS);
    const settle = (): void => {
      clearTimeout(limit);
      engine.owed.delete(asked.id);
    };
    engine.owed.set(asked.id, {
      resolve: (text) => {
        settle();
        resolve(text);
      },
      reject: (error) => {
        settle();
        reject(error);
      },
    });
    engine.worker.postMessage(asked);
  });
}

function boot(): Running {
  const worker = new Worker(new URL("./worker/worker.ts", import.meta.url), { type: "module" });
  const { promise: ready, resolve, reject } = Promise.withResolvers<void>();
  ready.catch(() => undefined); // a start nobody waits for must not be an unhandled rejection
  const engine: Running = { worker, ready, owed: new Map(), lose: () => undefined };
  const limit = setTimeout(() => engine.lose("the core did not start in time"), START_LIMIT_MS);
  engineState.value = "starting";
  engine.lose = (text) => {
    clearTimeout(limit);
    worker.terminate();
    if (running === engine) {
      running = null;
      engineState.value = "failed";
    }
    const error = new EngineError("engine-lost", text);
    reject(error);
    for (const owed of [...engine.owed.values()]) owed.reject(error);
  };
  worker.onerror = (event) => engine.lose(event.message || "the core's worker failed");
  worker.onmessageerror = () => engine.lose("a message of the core could not be read");
  worker.onmessage = ({ data }: MessageEvent<Told>) => {
    if (data.kind === "lost") engine.lose(data.text);
    else if (data.kind === "answer") engine.owed.get(data.id)?.resolve(data.text);
    else {
      clearTimeout(limit);
      engineState.value = "ready";
      generation.value += 1;
      resolve();
    }
  };
  return engine;
}
