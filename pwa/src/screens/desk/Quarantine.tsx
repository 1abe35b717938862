/** Records the office stored and does not believe. They are never folded in and never thrown away. */
import { t } from "../../messages";
import { to } from "../../state/route";
import { fullDay, timeWithSeconds } from "../../ui/time";
import { quarantine } from "./answers";
import { useAsked } from "./asked";
import { DeskPage } from "./DeskPage";

export function Quarantine() {
  const { answer, wrong, again } = useAsked(() => quarantine(), "quarantine");
  return (
    <DeskPage title={t("desk-quarantine")} wrong={wrong} again={again}>
      <p>{t("quarantine-lead")}</p>
      {answer?.quarantine.length === 0 && <p class="calm">{t("quarantine-none")}</p>}
      <ul class="devices">
        {answer?.quarantine.map((row) => (
          <li class="device" key={row.sequence}>
            <h3>{row.problem}</h3>
            <p>
              {row.event.type ?? "?"} · {row.event.source ?? "?"} ·{" "}
              {t("quarantine-number", { number: row.event.number ?? 0 })}
            </p>
            <p class="whose">
              {t("quarantine-when", {
                day: fullDay(row.recordedtime),
                time: timeWithSeconds(row.recordedtime),
                sequence: row.sequence,
              })}
            </p>
            {row.run && <a href={to("record", "run", row.run)}>{t("quarantine-run")}</a>}
          </li>
        ))}
      </ul>
    </DeskPage>
  );
}
