/** Nothing to acknowledge and nothing to read but what to do. */
import { t } from "../../messages";
import { alarm, emergencyNumber } from "../../state/alarm";
import { caution } from "../../state/known";
import { HoldButton } from "../../ui/HoldButton";
import { Title } from "../../ui/Page";

export function GasAlarm() {
  const number = emergencyNumber();
  const held = caution("gas-alarm");
  return (
    <main class="alarm" aria-live="assertive">
      <Title text={t("alarm-leave")} />
      <p class="alarm-line">{t("alarm-nobody")}</p>
      <a class="alarm-call" href={`tel:${number.match(/[+\d]+/)?.[0] ?? number}`}>
        {t("alarm-call", { number })}
      </a>
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
          alarm.value = false;
        }}
      />
    </main>
  );
}
