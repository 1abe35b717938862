/** What stands beside a vessel's state: chemical that is in it, and how long its proofs last. */
import { t } from "../../messages";
import { now } from "../../state/clock";
import type { VesselView } from "../../state/view";
import { moment } from "../../ui/time";

/** Until when the vessel is proved, the nearer of the two clocks first, and whether that is in doubt. */
export function Until({ vessel }: { readonly vessel: VesselView }) {
  const { chemical, proved_until: proved, sanitised_until: sanitised, state } = vessel;
  return (
    <>
      {chemical !== null && state !== "chemical" && (
        <strong class="vessel-until">
          {t("vessel-chemical-since", { time: moment(chemical, now.value) })}
        </strong>
      )}
      {sanitised !== null && sanitised > now.value && (
        <span class="vessel-until">
          {t("vessel-sanitised-until", { time: moment(sanitised, now.value) })}
        </span>
      )}
      {proved !== null && (
        <span class="vessel-until">
          {t(state === "rinsed" ? "vessel-was-proved-until" : "vessel-proved-until", {
            time: moment(proved, now.value),
          })}
        </span>
      )}
      {vessel.doubt.length > 0 && <strong class="vessel-until">{t("vessel-doubt")}</strong>}
    </>
  );
}
