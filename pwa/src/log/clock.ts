/**
 * Hybrid logical clock (Kulkarni et al. 2014) as text, `%012x-%04x`: 48-bit milliseconds, 16-bit
 * counter. Comparing the texts compares the clocks.
 */

const SHAPE = /^[0-9a-f]{12}-[0-9a-f]{4}$/;
const COUNTER_END = 0x10000;
const AHEAD_MS = 5 * 60_000;

export function write(ms: number, counter = 0): string {
  return `${ms.toString(16).padStart(12, "0")}-${counter.toString(16).padStart(4, "0")}`;
}

/** The time of a stamp, in milliseconds. */
export const milliseconds = (hlc: string): number => Number.parseInt(hlc.slice(0, 12), 16);

/** The next value after `last` by a wall clock that reads `now`; never goes back when the wall clock does. */
export function tick(last: string, now: number): string {
  const held = milliseconds(last);
  if (now > held) return write(now, 0);
  const counter = Number.parseInt(last.slice(13), 16) + 1;
  return counter < COUNTER_END ? write(held, counter) : write(held + 1, 0);
}

/** True when another device's clock may be taken over: no more than 5 minutes ahead of the server's time. */
export function mergeable(remote: string, serverNow: number): boolean {
  return SHAPE.test(remote) && milliseconds(remote) <= serverNow + AHEAD_MS;
}

/** The later of this phone's clock and the remote ones that may be taken over. */
export function merge(last: string, remotes: readonly string[], serverNow: number): string {
  let latest = last;
  for (const remote of remotes) {
    if (remote > latest && mergeable(remote, serverNow)) latest = remote;
  }
  return latest;
}
