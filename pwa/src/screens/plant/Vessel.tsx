/** One vessel: its state, its last clean in five seconds, what runs on it and what can be started. */
import { known, t } from "../../messages";
import { board, linesOf, troublesOf } from "../../state/board";
import { personName, vesselCard } from "../../state/known";
import { to } from "../../state/route";
import type { RunLine } from "../../state/view";
import { Page } from "../../ui/Page";
import { moment } from "../../ui/time";
import { VesselShape } from "../../ui/VesselShape";
import { useLater } from "../load";
import { Deviations } from "../now/Deviations";
import { Faults } from "../now/Faults";
import { asKnown } from "../now/known";
import { RunLink } from "../now/RunLink";
import { Until } from "../now/Until";

export function Vessel({ id }: { readonly id: string }) {
  const parts = useLater();
  const card = vesselCard(id);
  const vessel = board.value?.find((row) => row.id === id);
  if (!card) return <Page title={t("not-found")} back={["plant"]} />;
  const runs = linesOf(id);
  const open = runs.filter((line) => line.status === "open");
  return (
    <Page
      title={card.name}
      over={[known(`vessel-kind-${card.kind}`, card.kind), card.place].filter(Boolean).join(" · ")}
      back={["plant"]}
    >
      {vessel && (
        <section class="vessel-now" data-state={vessel.state}>
          <VesselShape kind={vessel.kind} state={vessel.state} />
          <div class="vessel-words">
            <p class="vessel-state">{t(`vessel-state-${vessel.state}`)}</p>
            {vessel.since !== null && (
              <p class="vessel-until">{t("vessel-since", { time: moment(vessel.since) })}</p>
            )}
            <Until vessel={vessel} />
            {vessel.check_due !== null && (
              <p class="vessel-until">{t("vessel-check-due", { time: moment(vessel.check_due) })}</p>
            )}
            {vessel.gyle && (
              <a class="vessel-gyle" href={to("record", "gyle", vessel.gyle)}>
                {t("vessel-gyle", { gyle: vessel.gyle })}
              </a>
            )}
            <p class="whose">{asKnown()}</p>
          </div>
        </section>
      )}
      <Faults vessel={id} />
      <Deviations rows={troublesOf(id)} />
      {open.length > 0 && (
        <section>
          <h2>{t("vessel-running")}</h2>
          <ul class="run-links">
            {open.map((line) => (
              <li key={line.id}>
                <RunLink line={line} />
              </li>
            ))}
          </ul>
        </section>
      )}
      {parts ? (
        <parts.Startable id={id}>
          <LastClean runs={runs} />
        </parts.Startable>
      ) : (
        <LastClean runs={runs} />
      )}
    </Page>
  );
}

function LastClean({ runs }: { readonly runs: readonly RunLine[] }) {
  const last = runs.find((line) => line.kind === "cleaning" && line.status !== "open");
  return (
    <section>
      <h2>{t("vessel-last-clean")}</h2>
      {last?.finished ? (
        <a class="last-clean" href={to("run", last.id)}>
          <span class="last-clean-when">{moment(last.finished.time)}</span>
          <span>{last.title}</span>
          <span>
            {t(`run-status-${last.status}`)} · {personName(last.finished.person)}
          </span>
          <span>{t("line-findings", { count: last.findings.length })}</span>
        </a>
      ) : (
        <p>{t("vessel-never-cleaned")}</p>
      )}
    </section>
  );
}
