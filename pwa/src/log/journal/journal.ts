/**
 * The page's side of the phone's second store: a worker that writes each record's signed text to a file of this tab.
 *
 * 1. A question has a time limit; one that is over ends the worker, and with it whatever hung.
 * 2. Where the engine has no private files, or refuses them, there is no journal: records are kept by the database alone.
 * 3. After a write that failed the database is alone for the rest of the page's life, and the phone's page says so. One
 *    that hung is NotSaved besides, once: the person tries again, and that is the very same record.
 */
import { type Signal, signal } from "@preact/signals";
import { NotSaved } from "../errors";
import type { KeptName, Question, Told } from "./protocol";

/** "none": this browser has no place for one; "failed": it could not be written in this page's life. */
export const journalState: Signal<"unused" | "kept" | "none" | "failed"> = signal("unused");

const LIMIT_MS = 5_000;
const READ_LIMIT_MS = 60_000;

type Owed = (told: Told) => void;

let worker: Worker | null = null;
let count = 0;
const owed = new Map<number, Owed>();

/** The journal's answer; null where there is none. */
export async function ask<T>(question: Question): Promise<T | null> {
  if (journalState.peek() === "none" || journalState.peek() === "failed") return null;
  try {
    worker ??= begin();
  } catch (error) {
    console.error("journal:", error);
    journalState.value = "none"; // no worker can be made here
    return null;
  }
  const told = await put(question);
  if ("answer" in told) {
    journalState.value = "kept";
    return told.answer as T;
  }
  const { name, text } = told.error;
  if (journalState.peek() === "unused" && (name === "NotSupportedError" || name === "SecurityError")) {
    journalState.value = "none";
    return null;
  }
  throw new DOMException(text, name);
}

function put(question: Question): Promise<Told> {
  const id = ++count;
  return new Promise((resolve) => {
    const limit = setTimeout(
      () => end("TimeoutError", "no answer in time"),
      question.do === "read" ? READ_LIMIT_MS : LIMIT_MS,
    );
    owed.set(id, (told) => {
      clearTimeout(limit);
      owed.delete(id);
      resolve(told);
    });
    worker?.postMessage({ ...question, id });
  });
}

function begin(): Worker {
  const made = new Worker(new URL("./worker/worker.ts", import.meta.url), { type: "module" });
  made.onmessage = ({ data }: MessageEvent<Told>) => owed.get(data.id)?.(data);
  made.onerror = ({ message }) => end("OperationError", message || "its worker failed");
  return made;
}

/** Ends the worker; the files it held are free again, and every question it owes is answered with the error. */
function end(name: string, text: string): void {
  worker?.terminate();
  worker = null;
  for (const [id, told] of [...owed]) told({ id, error: { name, text } });
}

/** Writes records down a second time; resolves when they are on disk, or there is no journal any more. */
export async function journal(texts: readonly string[]): Promise<void> {
  try {
    await ask({ do: "write", text: texts.map((text) => `${text}\n`).join("") });
  } catch (cause) {
    journalState.value = "failed";
    console.error("journal:", cause);
    if ((cause as Error).name === "TimeoutError")
      throw new NotSaved("this phone's second store did not answer in time", { cause });
  }
}

/** Keeps something beside the lines. The database has it too, so what goes wrong is told and passed over. */
export async function keepBeside(name: KeptName, value: object | null): Promise<void> {
  try {
    await ask({ do: "put", name, text: value ? JSON.stringify(value) : "" });
  } catch (error) {
    console.error("journal:", error);
  }
}
