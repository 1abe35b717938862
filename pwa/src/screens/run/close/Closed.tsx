/** A run that is finished or was stopped: what came of it, and what can still be added. */
import { t } from "../../../messages";
import { personName, vesselName } from "../../../state/known";
import { to } from "../../../state/route";
import type { Session } from "../../../state/run";
import { Page } from "../../../ui/Page";
import { moment } from "../../../ui/time";
import { Bullets } from "../../../ui/Working";
import { RunDeviations } from "../../now/Deviations";
import { runName } from "../read/name";

export function Closed({ run }: { readonly run: Session }) {
  const { view, id } = run;
  const end = view.finished;
  return (
    <Page
      title={t(view.status === "abandoned" ? "closed-abandoned" : "closed-finished")}
      over={runName(run)}
      back={["plant"]}
      dock={
        <a class="press main" href={view.vessel ? to("vessel", view.vessel) : to("plant")}>
          {view.vessel ? t("closed-vessel", { vessel: vesselName(view.vessel) }) : t("plant-title")}
        </a>
      }
    >
      {end && <p>{t("record-by", { person: personName(end.person), time: moment(end.time) })}</p>}
      {view.left && <p class="left-as">{t("closed-left", { state: t(`vessel-state-${view.left}`) })}</p>}
      {view.reason && <p>{view.reason}</p>}
      <section>
        <h2>{t("closed-findings")}</h2>
        {view.findings.length === 0 ? (
          <p>{t("closed-none")}</p>
        ) : (
          <Bullets rows={[...new Set(view.findings.map((finding) => finding.text))]} />
        )}
      </section>
      <RunDeviations run={run} />
      <ul class="presses">
        <li>
          <a class="press" href={to("run", id, "note")}>
            {t("note-title")}
          </a>
        </li>
        <li>
          <a class="press" href={to("record", "run", id)}>
            {t("closed-record")}
          </a>
        </li>
        <li>
          <a class="press" href={to("carry", id)}>
            {t("carry-title")}
          </a>
        </li>
      </ul>
    </Page>
  );
}
