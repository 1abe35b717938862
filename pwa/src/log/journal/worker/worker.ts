/** The worker that writes the journal: it answers one question after another. */
import type { Asked, Question, Told } from "../protocol";
import { last, names, old, put, read, remove, without, write } from "./folder";

let turn: Promise<void> = Promise.resolve();

addEventListener("message", ({ data }: MessageEvent<Asked>) => {
  turn = turn.then(async () => postMessage(await told(data)));
});

async function told(asked: Asked): Promise<Told> {
  const { id } = asked;
  try {
    return { id, answer: await answer(asked) };
  } catch (error) {
    const { name, message } = error as Error;
    return { id, error: { name, text: message } };
  }
}

async function answer(asked: Question): Promise<unknown> {
  switch (asked.do) {
    case "write":
      return write(asked.text);
    case "last":
      return last(asked.source);
    case "read":
      return read();
    case "put":
      return put(asked.name, asked.text);
    case "names":
      return names();
    case "old":
      return old(asked.before);
    case "drop":
      return remove(asked.file);
    case "without":
      return without(new Set(asked.ids));
  }
}
