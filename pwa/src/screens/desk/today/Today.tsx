/** The desk's first page: what can't wait, what may be filled, what is to be reviewed; then what can wait. */
import { t } from "../../../messages";
import { administered } from "../../../state/administered";
import { vesselCards } from "../../../state/known";
import { to } from "../../../state/route";
import { syncState } from "../../../sync";
import { Announced } from "../Announced";
import { needs } from "../answers";
import { useAsked } from "../asked";
import { DeskPage } from "../DeskPage";
import { ALL } from "../deviations/Deviations";
import { deviations } from "../deviations/listed";
import { AboutLog, Below } from "./Below";
import { Filling } from "./Filling";
import { Reviews } from "./Reviews";
import { Wrong } from "./Wrong";

export function Today() {
  const { answer, wrong, again, behind } = useAsked(needs, `needs ${administered.value}`);
  const open = useAsked(() => deviations({ ...ALL, state: "open" }), `open ${administered.value}`);
  const all = answer && open.answer;
  return (
    <DeskPage title={t("desk-today")} wrong={wrong ?? open.wrong} again={again} behind={behind}>
      {syncState.value.doubt && (
        <div class="refused" role="alert">
          <p>{t("desk-doubt")}</p>
          <a href={to("carry", "heads")}>{t("desk-doubt-open")}</a>
        </div>
      )}
      {vesselCards().length === 0 && (
        <p>
          {t("today-set-up")} <a href={to("record", "set-up")}>{t("desk-set-up")}</a>
        </p>
      )}
      {answer && <AboutLog doubts={answer.doubts ?? []} restores={answer.restores ?? []} />}
      {all && <Wrong needs={answer} open={open.answer} />}
      {answer && (
        <>
          <Filling rows={answer.filling ?? []} />
          <Reviews count={answer.counts.reviews} changed={again} />
          <Announced rows={answer.announcements} count={answer.counts.announcements} changed={again} />
          <Below answer={answer} />
        </>
      )}
    </DeskPage>
  );
}
