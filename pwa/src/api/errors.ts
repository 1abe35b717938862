/** The server was not reached: nothing answered in time, or what answered was not it. */
export class NoNetwork extends Error {
  override readonly name = "NoNetwork";
  /** it was given up for want of time: less at once may pass */
  readonly slow: boolean;

  constructor(what: string, why: ErrorOptions = {}, slow = false) {
    super(what, why);
    this.slow = slow;
  }
}

/** The problem types of the addresses' contract; one this version does not know reads as "unknown". */
export const PROBLEM_KINDS = [
  "not-enrolled",
  "code-invalid",
  "malformed",
  "too-large",
  "id-reused",
  "number-reused",
  "chain-broken",
  "signature-invalid",
  "source-mismatch",
  "cross-origin",
  "rate-limited",
  "not-found",
  "invalid",
] as const;
export type ProblemKind = (typeof PROBLEM_KINDS)[number] | "unknown";

/** The server's own refusal, as application/problem+json. */
export class Problem extends Error {
  override readonly name = "Problem";
  readonly kind: ProblemKind;
  readonly status: number;
  readonly detail: string;
  /** milliseconds the server asks us to stay away */
  readonly retryAfter: number | null;
  /** all that the problem says */
  readonly said: object;

  constructor(kind: ProblemKind, status: number, detail: string, retryAfter: number | null, said: object) {
    super(detail);
    this.kind = kind;
    this.status = status;
    this.detail = detail;
    this.retryAfter = retryAfter;
    this.said = said;
  }
}
