/** On every screen: how the records stand, in words, and the gas alarm in one press. */

import { device } from "../identity";
import { t } from "../messages";
import { raiseAlarm } from "../state/alarm";
import { now } from "../state/clock";
import { to } from "../state/route";
import { update } from "../sw";
import { type SyncState, syncState } from "../sync";
import { moment } from "../ui/time";

export function Bar() {
  return (
    <header class="bar">
      {device.value ? <Standing /> : <p class="bar-name">{t("product")}</p>}
      <button type="button" class="gas" onClick={raiseAlarm}>
        {t("alarm-button")}
      </button>
    </header>
  );
}

function Standing() {
  const state = syncState.value;
  return (
    <a class="standing" href={to("phone")} data-kind={kindOf(state)}>
      <span class="standing-first">{first(state)}</span>
      <span class="standing-second">{update.value.waiting ? t("standing-update") : second(state)}</span>
    </a>
  );
}

const kindOf = ({ waiting, refused }: SyncState): string =>
  refused > 0 ? "refused" : waiting === 0 ? "sent" : "waiting";

/** What has not left this phone. */
export function first({ waiting, refused }: SyncState): string {
  if (refused > 0) return t("standing-refused", { count: refused });
  return waiting === null ? t("standing-reading") : t("standing-waiting", { count: waiting });
}

/** When the office was last reached. */
export function second({ waiting, lastReached }: SyncState): string {
  if (waiting === null) return "";
  if (lastReached === null) return t("standing-never");
  return t("standing-reached", { time: moment(lastReached, now.value) });
}
