/** Nothing to acknowledge and nothing to read but what to do. */
import { useEffect } from "preact/hooks";
import { t } from "../../messages";
import { alarm } from "../../state/alarm";
import { caution } from "../../state/known";
import { sound } from "../../state/ring";
import { HoldButton } from "../../ui/HoldButton";
import { Title } from "../../ui/Page";
import { Call } from "./Call";

const AGAIN_MS = 1500;

export function GasAlarm() {
  const held = caution("gas-alarm");
  useEffect(() => {
    const warn = () => {
      sound(3);
      navigator.vibrate?.([600, 200, 600]);
    };
    warn();
    const again = setInterval(warn, AGAIN_MS);
    return () => clearInterval(again);
  }, []);
  return (
    <main class="alarm" aria-live="assertive">
      <Title text={t("alarm-leave")} />
      <p class="alarm-line">{t("alarm-nobody")}</p>
      <Call />
      {held && (
        <ul class="alarm-more">
          {held.minute.map((line) => (
            <li key={line}>{line}</li>
          ))}
        </ul>
      )}
      <HoldButton
        label={t("alarm-over")}
        tone="stop"
        onHeld={() => {
          alarm.value = "";
        }}
      />
    </main>
  );
}
