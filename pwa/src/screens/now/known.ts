/** How far to trust the board: what this phone knew, and when it last heard from the office. */
import { t } from "../../messages";
import { stale } from "../../state/board";
import { now } from "../../state/clock";
import { syncState } from "../../sync";
import { moment } from "../../ui/time";

export function asKnown(): string {
  const { lastReached } = syncState.value;
  const known = stale.value?.known;
  if (stale.value) return known ? t("plant-old", { time: moment(known, now.value) }) : t("plant-none");
  return lastReached === null
    ? t("plant-known-never")
    : t("plant-known", { time: moment(lastReached, now.value) });
}
