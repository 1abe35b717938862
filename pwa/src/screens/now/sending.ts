/** How the records of this phone stand with the office, in words. */
import { t } from "../../messages";
import { now } from "../../state/clock";
import type { SyncState } from "../../sync";
import { moment } from "../../ui/time";

/** What has not left this phone. */
export function notSent({ waiting, refused }: SyncState): string {
  if (refused > 0) return t("standing-refused", { count: refused });
  return waiting === null ? t("standing-reading") : t("standing-waiting", { count: waiting });
}

/** When the office was last reached. */
export function lastReached({ waiting, lastReached: at }: SyncState): string {
  if (waiting === null) return "";
  if (at === null) return t("standing-never");
  return t("standing-reached", { time: moment(at, now.value) });
}
