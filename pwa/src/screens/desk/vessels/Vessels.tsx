/** The site's vessels and lines by where they stand, and those that are out of use. */
import { t } from "../../../messages";
import { everyVessel, type VesselCard } from "../../../state/known";
import { to } from "../../../state/route";
import { DeskPage } from "../DeskPage";

export function Vessels() {
  const rows = everyVessel();
  const used = rows.filter(({ in_use = true }) => in_use);
  const places = [...new Set(used.map((row) => row.place))];
  return (
    <DeskPage title={t("desk-vessels")}>
      {rows.length === 0 && <p>{t("vessels-none")}</p>}
      {places.map((place) => (
        <Listed key={place} title={place} rows={used.filter((row) => row.place === place)} />
      ))}
      <Listed title={t("vessels-out")} rows={rows.filter((row) => !used.includes(row))} />
      <p>
        <a class="press main" href={to("record", "vessel")}>
          {t("vessel-new")}
        </a>
      </p>
    </DeskPage>
  );
}

function Listed({ title, rows }: { readonly title: string; readonly rows: readonly VesselCard[] }) {
  if (rows.length === 0) return null;
  return (
    <section>
      {title && <h2>{title}</h2>}
      <ul class="need-list">
        {rows.map((row) => (
          <li key={row.id}>
            <a class="need" href={to("record", "vessel", row.id)}>
              <strong>{row.name}</strong>
              <span>{t(`vessel-kind-${row.kind}`)}</span>
              {row.capacity_l && <span class="whose">{row.capacity_l} L</span>}
            </a>
          </li>
        ))}
      </ul>
    </section>
  );
}
