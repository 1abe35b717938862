import { EngineError, type Wait } from "./errors";

/** Reads the bridge's answer: the value under `ok`, or the error thrown as an EngineError. */
export function readAnswer(text: string): unknown {
  const answer: unknown = JSON.parse(text);
  if (isObject(answer)) {
    if ("ok" in answer) return answer.ok;
    if (isObject(answer.error)) throw asError(answer.error);
  }
  throw new EngineError("engine-lost", "the core's answer could not be read");
}

type Fields = Record<string, unknown>;

const isObject = (value: unknown): value is Fields => typeof value === "object" && value !== null;
const isWait = (value: unknown): value is Wait =>
  isObject(value) && typeof value.code === "string" && typeof value.text === "string";

function asError({ code, text, field, waits }: Fields): EngineError {
  return new EngineError(
    String(code),
    String(text),
    typeof field === "string" ? field : null,
    Array.isArray(waits) ? waits.filter(isWait) : [],
  );
}
