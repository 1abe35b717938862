/** Every vessel, by place, as far as this phone knows. Made to be read from two metres on a tablet on the wall. */
import { t } from "../../messages";
import { board, lines } from "../../state/board";
import { to } from "../../state/route";
import type { VesselView } from "../../state/view";
import { Page } from "../../ui/Page";
import { VesselShape } from "../../ui/VesselShape";
import { useLater } from "../load";
import { Faults } from "../now/Faults";
import { asKnown } from "../now/known";
import { Progress } from "../now/RunLink";
import { Until } from "../now/Until";

export function Plant() {
  const vessels = board.value;
  const parts = useLater();
  return (
    <Page title={t("plant-title")} over={asKnown()} back={[]} wide>
      <Faults />
      {vessels?.length === 0 && <p>{t("plant-empty")}</p>}
      {byPlace(vessels ?? []).map(([place, rows]) => (
        <section key={place} class="place">
          <h2>{place || t("plant-no-place")}</h2>
          <ul class="vessels">
            {rows.map((vessel) => (
              <li key={vessel.id}>
                <Card vessel={vessel} />
              </li>
            ))}
          </ul>
        </section>
      ))}
      <section class="place">
        <h2>{t("plant-elsewhere")}</h2>
        <div class="elsewhere">
          <a class="press" href={to("sums")}>
            {t("sums")}
          </a>
          {parts && <parts.Elsewhere />}
        </div>
      </section>
    </Page>
  );
}

/** The places in the order the reference lists their vessels. */
function byPlace(vessels: readonly VesselView[]): [string, VesselView[]][] {
  const places = new Map<string, VesselView[]>();
  for (const vessel of vessels) {
    const place = vessel.place ?? "";
    places.set(place, [...(places.get(place) ?? []), vessel]);
  }
  return [...places];
}

function Card({ vessel }: { readonly vessel: VesselView }) {
  const line = lines.value.find((row) => row.id === vessel.run);
  return (
    <a class="vessel" href={to("vessel", vessel.id)} data-state={vessel.state}>
      <VesselShape kind={vessel.kind} state={vessel.state} />
      <span class="vessel-name">{vessel.name}</span>
      <span class="vessel-state">{t(`vessel-state-${vessel.state}`)}</span>
      <Until vessel={vessel} />
      {vessel.gyle && <span class="vessel-gyle">{t("vessel-gyle", { gyle: vessel.gyle })}</span>}
      {line && (
        <span class="vessel-run">
          <span class="vessel-run-title">{line.title}</span>
          <Progress line={line} />
        </span>
      )}
    </a>
  );
}
