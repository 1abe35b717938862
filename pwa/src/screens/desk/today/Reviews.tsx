/** The queue of reviews: cleans apart from the rest; to be walked through, and the routine ones accepted together. */
import { t } from "../../../messages";
import { administered } from "../../../state/administered";
import { to } from "../../../state/route";
import { reviews, type Waiting } from "../answers";
import { useAsked } from "../asked";
import { Routine } from "./Routine";
import { GROUPS, isRoutine, ofGroup } from "./waiting";

type Props = { readonly count: number; readonly changed: () => void };

export function Reviews({ count, changed }: Props) {
  const { answer, wrong, again } = useAsked(reviews, `reviews ${administered.value}`);
  const rows = answer?.reviews ?? [];
  const after = () => {
    again();
    changed();
  };
  return (
    <section>
      <h2>{t("today-reviews", { count })}</h2>
      {count > rows.length && rows.length > 0 && <p class="whose">{t("today-reviews-oldest")}</p>}
      {wrong && (
        <p class="wrong" role="alert">
          {wrong}
        </p>
      )}
      {GROUPS.map((of) => (
        <Group key={of} of={of} rows={ofGroup(rows, of)} changed={after} />
      ))}
    </section>
  );
}

type GroupProps = { readonly of: string; readonly rows: readonly Waiting[]; readonly changed: () => void };

function Group({ of, rows, changed }: GroupProps) {
  const routine = rows.filter(isRoutine);
  if (rows.length === 0) return null;
  return (
    <div class="review-group">
      <h3>{t(`today-${of}`)}</h3>
      <p>
        <a class="press main" href={to("record", "queue", of)}>
          {t("today-walk", { count: rows.length })}
        </a>
      </p>
      {routine.length > 0 && <Routine rows={routine} changed={changed} />}
    </div>
  );
}
