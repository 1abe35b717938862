/** What events are about, and the ranges of an index that opens with it. */
export const ADMIN = "/admin";
export const SERVER = "/server";
const RUNS = "/runs/";

export const runSubject = (run: string): string => RUNS + run;
export const runOf = (subject: string): string => subject.slice(RUNS.length);

/** Every key of a three-part index whose first part is `first`: an array sorts after every text. */
export const subjectRange = (first: string): IDBKeyRange => IDBKeyRange.bound([first], [first, []]);

/** Every key of the index `run` that belongs to a run ("0" is the character after "/"). */
export const everyRun = (): IDBKeyRange => IDBKeyRange.bound([RUNS], ["/runs0"]);
