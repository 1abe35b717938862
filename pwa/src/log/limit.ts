import { NotSaved } from "./errors";

const LIMIT_MS = 5_000;

/** Whoever records is not kept waiting for ever: storage that does not answer has not saved. What it goes on doing is not known. */
export function inTime<T>(work: Promise<T>): Promise<T> {
  return new Promise((resolve, reject) => {
    const limit = setTimeout(
      () => reject(new NotSaved("this phone's storage did not answer in time")),
      LIMIT_MS,
    );
    work.then(resolve, reject).finally(() => clearTimeout(limit));
  });
}
