/**
 * The core (Python, run by MicroPython in a worker). Only JSON text crosses.
 *
 *   startEngine() → Promise<void>                 ready to be called; safe to call again
 *   call<T>(name, args) → Promise<T>              one of core/bridge.py's calls; throws EngineError
 *   engineState: Signal<"off" | "starting" | "ready" | "failed">
 *   generation: Signal<number>                    counts boots: when it changes, open runs must be opened again
 *   EngineError {code, text, field, waits?}       code "engine-lost" when the worker died: call again
 */

export { call, engineState, generation, startEngine } from "./engine";
export { EngineError, type Wait } from "./errors";
