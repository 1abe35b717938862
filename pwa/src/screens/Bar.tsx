/** On every screen: how the records stand, in words, the gas alarm and the emergencies in one press, the holds that run. */

import { current, device, locked } from "../identity";
import { t } from "../messages";
import { alarm } from "../state/alarm";
import { to } from "../state/route";
import { update } from "../sw";
import { type SyncState, syncState } from "../sync";
import { HoldStrip } from "./now/RunningHolds";
import { lastReached, notSent } from "./now/sending";

export function Bar() {
  return (
    <header class="bar">
      {device.value ? <Standing /> : <p class="bar-name">{t("product")}</p>}
      <Alarm name="emergency" />
      <Alarm name="gas" />
      {current.value && !locked.value && <HoldStrip />}
    </header>
  );
}

function Alarm({ name }: { readonly name: "gas" | "emergency" }) {
  const press = () => {
    alarm.value = name;
  };
  return (
    <button type="button" class="gas" onClick={press}>
      {t(`alarm-button-${name}`)}
    </button>
  );
}

function Standing() {
  const state = syncState.value;
  return (
    <a class="standing" href={to("phone")} data-kind={kindOf(state)}>
      <span class="standing-first">{notSent(state)}</span>
      <span class="standing-second">{secondOf(state)}</span>
    </a>
  );
}

function secondOf(state: SyncState): string {
  if (state.doubt) return t("log-doubt");
  return update.value.waiting ? t("standing-update") : lastReached(state);
}

const kindOf = ({ waiting, refused, doubt }: SyncState): string =>
  doubt || refused > 0 ? "refused" : waiting === 0 ? "sent" : "waiting";
