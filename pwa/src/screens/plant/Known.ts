/** How far to trust the board: what this phone knew, and when it last heard from the office. */
import { t } from "../../messages";
import { now } from "../../state/clock";
import { syncState } from "../../sync";
import { moment } from "../../ui/time";

export function asKnown(): string {
  const { lastReached } = syncState.value;
  return lastReached === null
    ? t("plant-known-never")
    : t("plant-known", { time: moment(lastReached, now.value) });
}
