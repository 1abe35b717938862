/** Moments and lengths of time in words. */

const region = navigator.language;
const clock = new Intl.DateTimeFormat(region, { hour: "2-digit", minute: "2-digit", hourCycle: "h23" });
const second = new Intl.DateTimeFormat(region, {
  hour: "2-digit",
  minute: "2-digit",
  second: "2-digit",
  hourCycle: "h23",
});
const near = new Intl.DateTimeFormat(region, { weekday: "short" });
const far = new Intl.DateTimeFormat(region, { day: "numeric", month: "short" });
const farther = new Intl.DateTimeFormat(region, { day: "numeric", month: "short", year: "numeric" });
const DAY = 86_400_000;

type Moment = string | number;

export const timeOf = (at: Moment): string => clock.format(new Date(at));
export const timeWithSeconds = (at: Moment): string => second.format(new Date(at));

/** "05:40" today, "Tue 05:40" within six days, "3 Nov 05:40" beyond, with the year when it is another. */
export function moment(at: Moment, now: number = Date.now()): string {
  const day = dayOf(at, now);
  return day === "" ? timeOf(at) : `${day} ${timeOf(at)}`;
}

function dayOf(at: Moment, now: number): string {
  const then = new Date(at);
  const today = new Date(now);
  if (then.toDateString() === today.toDateString()) return "";
  if (Math.abs(then.getTime() - now) < 6 * DAY) return near.format(then);
  return (then.getFullYear() === today.getFullYear() ? far : farther).format(then);
}

/** "3 Nov 2026", for a record that is read years later. */
export const fullDay = (at: Moment): string => farther.format(new Date(at));

const two = (n: number): string => String(n).padStart(2, "0");

/** Seconds as "12:05", or "1:02:05" from an hour on. */
export function length(seconds: number): string {
  const whole = Math.max(0, Math.ceil(seconds));
  const rest = `${two(Math.floor(whole / 60) % 60)}:${two(whole % 60)}`;
  return whole < 3600 ? rest : `${Math.floor(whole / 3600)}:${rest}`;
}
