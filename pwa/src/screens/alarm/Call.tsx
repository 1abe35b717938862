/** Whom to call, and where everyone meets. */
import { t } from "../../messages";
import { emergencyNumber, given } from "../../state/alarm";

export function Call() {
  const number = emergencyNumber();
  const place = given("meeting-place");
  return (
    <>
      <a class="alarm-call" href={`tel:${number.match(/[+\d]+/)?.[0] ?? number}`}>
        {t("alarm-call", { number })}
      </a>
      {place && <p class="alarm-line">{t("alarm-meet", { place })}</p>}
    </>
  );
}
