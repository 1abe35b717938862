/**
 * When to exchange with the server. Everything that happens is an input to `hear`; `decide` alone says
 * what is to be done, and keeps these rules:
 *
 * 1. Never two exchanges at once from one tab (the lock keeps it so between tabs).
 * 2. Never without an enrolment: once it was given up nothing is sent until there is a new one, and
 *    whatever waits stays.
 * 3. Never before the moment a server asked for with Retry-After, whoever asks.
 * 4. After a failure never before the back-off is over, unless the person asks, the network changed,
 *    or the page came back into view.
 * 5. A record goes out a moment after it was made, and a stream of them cannot put that off for long.
 * 6. While there is more to push or pull, the next exchange follows at once.
 * 7. With nothing else to do, the server is asked now and then: often in view, seldom out of it.
 * 8. What the browser says of the network decides nothing; it only ends a back-off.
 * 9. What a slow line gave up is tried with half as much each way, and with more only after a quick exchange.
 */

export const DEBOUNCE_MS = 300;
export const DEBOUNCE_END_MS = 1_500;
export const IN_VIEW_MS = 20_000;
export const OUT_OF_VIEW_MS = 5 * 60_000;
export const BUSY_MS = 2_000;
export const BACKOFF_FIRST_MS = 2_000;
export const BACKOFF_END_MS = 5 * 60_000;
export const FULL_BATCH = 500;
export const FULL_PAGE = 500;
/** An exchange that took longer is not tried with more at once. */
export const QUICK_MS = 10_000;

export type World = {
  readonly enrolled: boolean;
  readonly visible: boolean;
  readonly running: boolean;
  /** an exchange is wanted from this moment on */
  readonly wantedAt: number;
  /** the first record made since the last exchange began */
  readonly firstTapAt: number | null;
  readonly failures: number;
  /** end of the back-off */
  readonly restUntil: number;
  /** end of what the server asked for */
  readonly awayUntil: number;
  /** how many records one exchange may carry, and how many it may bring */
  readonly batch: number;
  readonly page: number;
  /** when the exchange that runs, or the last, began */
  readonly begunAt: number;
};

export type Input =
  | { readonly kind: "enrolled" | "disowned" | "asked" | "online" | "tap" | "begun" | "busy" }
  | { readonly kind: "view"; readonly visible: boolean }
  | { readonly kind: "answered"; readonly more: boolean }
  | {
      readonly kind: "failed";
      readonly chance: number;
      readonly retryAfter: number | null;
      /** it was given up for want of time, with so many records under way */
      readonly slow?: number;
    }
  | { readonly kind: "too-large"; readonly sent: number };

export type Decision =
  | { readonly do: "rest" }
  | { readonly do: "wait"; readonly until: number }
  | { readonly do: "exchange"; readonly batch: number; readonly page: number };

export function atStart(now: number, visible: boolean): World {
  return {
    enrolled: false,
    visible,
    running: false,
    wantedAt: now,
    firstTapAt: null,
    failures: 0,
    restUntil: 0,
    awayUntil: 0,
    batch: FULL_BATCH,
    page: FULL_PAGE,
    begunAt: now,
  };
}

export function decide(world: World, now: number): Decision {
  if (!world.enrolled || world.running) return { do: "rest" };
  const from = Math.max(world.wantedAt, world.restUntil, world.awayUntil);
  const { batch, page } = world;
  return from <= now ? { do: "exchange", batch, page } : { do: "wait", until: from };
}

/** The world after an input. Nothing else changes it. */
export function hear(world: World, input: Input, now: number): World {
  switch (input.kind) {
    case "enrolled":
      return { ...soon(world, now), enrolled: true, failures: 0, awayUntil: 0 };
    case "disowned":
      return { ...world, enrolled: false, running: false };
    case "asked":
    case "online":
      return soon(world, now);
    case "view":
      return input.visible ? { ...soon(world, now), visible: true } : { ...world, visible: false };
    case "tap":
      return tapped(world, now);
    case "begun":
      return { ...world, running: true, firstTapAt: null, begunAt: now, wantedAt: now + pause(world) };
    case "busy":
      return { ...world, running: false, wantedAt: now + BUSY_MS };
    case "answered":
      return answered(world, input.more, now);
    case "too-large":
      return { ...world, running: false, wantedAt: now, batch: halved(world, input.sent) };
    case "failed":
      return failed(world, input, now);
  }
}

const pause = (world: World): number => (world.visible ? IN_VIEW_MS : OUT_OF_VIEW_MS);

const halved = (world: World, sent: number): number =>
  Math.max(1, Math.floor(Math.min(world.batch, sent) / 2));

const soon = (world: World, now: number): World => ({ ...world, wantedAt: now, restUntil: 0 });

function tapped(world: World, now: number): World {
  const firstTapAt = world.firstTapAt ?? now;
  const at = Math.min(now + DEBOUNCE_MS, firstTapAt + DEBOUNCE_END_MS);
  if (world.wantedAt <= now) return { ...world, firstTapAt };
  return { ...world, firstTapAt, wantedAt: world.firstTapAt === null ? Math.min(world.wantedAt, at) : at };
}

/** A record made while the exchange ran keeps its own moment; otherwise the pause decides. */
function answered(world: World, more: boolean, now: number): World {
  const next = more ? now : Math.min(world.wantedAt, now + pause(world));
  return {
    ...world,
    running: false,
    failures: 0,
    restUntil: 0,
    wantedAt: next,
    ...(now - world.begunAt > QUICK_MS
      ? {}
      : { batch: Math.min(FULL_BATCH, world.batch * 2), page: Math.min(FULL_PAGE, world.page * 2) }),
  };
}

/** Exponential, with full jitter above half: `chance` is from 0 to 1. */
function failed(
  world: World,
  { chance, retryAfter, slow }: Extract<Input, { kind: "failed" }>,
  now: number,
): World {
  const longest = Math.min(BACKOFF_END_MS, BACKOFF_FIRST_MS * 2 ** world.failures);
  return {
    ...world,
    running: false,
    failures: world.failures + 1,
    restUntil: now + longest * (0.5 + 0.5 * chance),
    awayUntil: retryAfter === null ? world.awayUntil : now + retryAfter,
    wantedAt: Math.min(world.wantedAt, now),
    ...(slow === undefined
      ? {}
      : { batch: slow > 0 ? halved(world, slow) : world.batch, page: Math.max(1, world.page >> 1) }),
  };
}
