import type { Wait } from "../shapes";

/** Why a step is not open yet, as the core tells it. */
export type { Wait };

/** What the core refuses (its own code), or "engine-lost" when its worker died or would not start. */
export class EngineError extends Error {
  override readonly name = "EngineError";
  readonly code: string;
  readonly text: string;
  readonly field: string | null;
  readonly waits: readonly Wait[];

  constructor(code: string, text: string, field: string | null = null, waits: readonly Wait[] = []) {
    super(text);
    this.code = code;
    this.text = text;
    this.field = field;
    this.waits = waits;
  }
}
