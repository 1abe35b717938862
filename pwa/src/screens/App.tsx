/** Which screen the person sees. What must not be missed comes first: not saved, gas, a log that will not open. */

import { current, device, locked } from "../identity";
import { t } from "../messages";
import { alarm } from "../state/alarm";
import { route } from "../state/route";
import { logState, unsaved } from "../state/saving";
import { syncState } from "../sync";
import { GasAlarm } from "./alarm/GasAlarm";
import { Bar } from "./Bar";
import { Lock, SignIn } from "./enrol/SignIn";
import { Drawn, Mishap } from "./Mishap";
import { LogShut, NotSaved } from "./phone/NotSaved";
import { Later, Routed } from "./Routed";

export function App() {
  if (alarm.value === "gas") return <GasAlarm />;
  if (alarm.value) return <Later key="emergency" name="emergency" />;
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
  const { was } = device.value ?? {};
  const unknown = was !== undefined || syncState.value.trouble === "enrol";
  if (!device.value || (unknown && route.value[0] === "enrol"))
    return <Later key="enrol-title" name="enrol-title" />;
  if (was && (!current.value || locked.value)) return <Later key="recovered" name="recovered" />;
  if (!current.value) return <SignIn />;
  if (locked.value) return <Lock />;
  return <Routed />;
}
