/** The runs to review, walked through one after another: the record as it stands, with its review. */
import { t } from "../../../messages";
import { to } from "../../../state/route";
import { reviews } from "../answers";
import { useAsked } from "../asked";
import { DeskPage } from "../DeskPage";
import { Record } from "../Record";
import { ofGroup } from "./waiting";

type Props = { readonly of: string; readonly id?: string };

/** The list is asked for once: a run that is reviewed keeps its place, so that Before and Next lead where they did. */
export function Queue({ of, id }: Props) {
  const { answer, wrong, again } = useAsked(reviews, `queue ${of}`);
  const rows = answer ? ofGroup(answer.reviews, of) : [];
  const at = id ? rows.findIndex((row) => row.id === id) : 0;
  const shown = id ?? rows[0]?.id;
  if (!shown)
    return (
      <DeskPage title={t("queue")} wrong={wrong} again={again}>
        {answer && <p class="calm">{t("queue-empty")}</p>}
      </DeskPage>
    );
  const before = rows[at - 1];
  const next = at >= 0 ? rows[at + 1] : rows[0];
  return (
    <>
      <nav class="queue" aria-label={t("queue")}>
        {before && <a href={to("record", "queue", of, before.id)}>{t("queue-back")}</a>}
        <span>{at >= 0 && t("queue-place", { number: at + 1, count: rows.length })}</span>
        {next ? (
          <a class="press small" href={to("record", "queue", of, next.id)}>
            {t("queue-next")}
          </a>
        ) : (
          <span>
            {t("queue-end")} <a href={to("record", "today")}>{t("desk-today")}</a>
          </span>
        )}
      </nav>
      <Record key={shown} id={shown} />
    </>
  );
}
