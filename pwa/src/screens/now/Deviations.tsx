/** What waits for a duty brewer's answer: raised in a run, or brought to light by the life of its vessel or instruments. */
import { t } from "../../messages";
import { troublesOf } from "../../state/board";
import { personName } from "../../state/known";
import { to } from "../../state/route";
import type { Session } from "../../state/run";
import { moment } from "../../ui/time";

type Row = {
  readonly run: string;
  readonly event: string;
  readonly text: string;
  readonly person: string;
  readonly time: string | number;
  readonly answered: object | null;
};

export function RunDeviations({ run }: { readonly run: Session }) {
  const raised = run.view.deviations.map((row) => ({ ...row, run: run.id }));
  return <Deviations rows={[...raised, ...troublesOf(run.id)]} />;
}

export function Deviations({ rows }: { readonly rows: readonly Row[] }) {
  const waiting = rows.filter((row) => !row.answered);
  if (waiting.length === 0) return null;
  return (
    <section>
      <h2>{t("more-deviations")}</h2>
      <ul class="deviations">
        {waiting.map((row) => (
          <li key={row.event}>
            <p>{row.text}</p>
            <p class="whose">{t("record-by", { person: personName(row.person), time: moment(row.time) })}</p>
            <a class="press" href={to("run", row.run, "answer", row.event)}>
              {t("answer-title")}
            </a>
          </li>
        ))}
      </ul>
    </section>
  );
}
