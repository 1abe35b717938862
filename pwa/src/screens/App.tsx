/** Which screen the person sees. What must not be missed comes first: not saved, gas, a log that will not open. */

import { current, device, locked } from "../identity";
import { t } from "../messages";
import { alarm } from "../state/alarm";
import { logState, unsaved } from "../state/saving";
import { GasAlarm } from "./alarm/GasAlarm";
import { Bar } from "./Bar";
import { Enrol } from "./enrol/Enrol";
import { Lock, SignIn } from "./enrol/SignIn";
import { Drawn, Mishap } from "./Mishap";
import { LogShut, NotSaved } from "./phone/NotSaved";
import { Routed } from "./Routed";

export function App() {
  if (alarm.value) return <GasAlarm />;
  if (unsaved.value) return <NotSaved retry={unsaved.value.retry} />;
  return (
    <>
      <Bar />
      <Mishap />
      <Drawn>
        <Inside />
      </Drawn>
    </>
  );
}

function Inside() {
  if (logState.value === "blocked" || logState.value === "failed") return <LogShut state={logState.value} />;
  if (device.value === undefined) return <p class="unseen">{t("opening")}</p>;
  if (device.value === null) return <Enrol />;
  if (!current.value) return <SignIn />;
  if (locked.value) return <Lock />;
  return <Routed />;
}
