/** Putting a result into a run: which result, and the entries of open steps that take it. The step confirms it. */
import { useEffect, useState } from "preact/hooks";
import { t } from "../../messages";
import { openLines } from "../../state/board";
import { vesselName } from "../../state/known";
import { to } from "../../state/route";
import { useSumAnswer } from "../../state/sumAnswer";
import type { Calculation } from "../../state/sums";
import { type Taking, takersIn } from "../../state/takers";
import type { RunLine } from "../../state/view";
import { figure } from "../../ui/figures";
import { Page } from "../../ui/Page";
import { Value } from "../../ui/Working";
import { useFigures } from "./figures";

export function Put({ row }: { readonly row: Calculation }) {
  const { figures } = useFigures(row);
  const { working, words } = useSumAnswer(row, figures);
  const results = row.results.filter(([, , , places]) => places !== null);
  const [result, setResult] = useState(results[0]?.[0] ?? "");
  const found = useTakers(row.name, result);
  const numbers = working?.results.filter(({ id }) => results.some(([held]) => held === id)) ?? [];
  return (
    <Page title={t("sums-put")} over={row.title} back={["sums", row.name]}>
      <p class="whose">{t("sums-put-lead")}</p>
      {words && <p class="sum-words">{words}</p>}
      {working && (
        <fieldset class="options">
          <legend>{t("sums-put-which")}</legend>
          {numbers.map(({ id, label, value, unit }) => (
            <button
              type="button"
              key={id}
              class="option"
              aria-pressed={id === result}
              onClick={() => setResult(id)}
            >
              <span class="option-mark" aria-hidden="true" />
              <span>
                {label} <Value value={value} unit={unit} />
              </span>
            </button>
          ))}
        </fieldset>
      )}
      {working && found?.length === 0 && <p>{t("sums-put-none")}</p>}
      {working &&
        found?.map(({ line, takers }) => (
          <section key={line.id}>
            <h2>{lineName(line)}</h2>
            <ul class="run-links">
              {takers.map(({ step, title, field, label, value, unit }) => (
                <li key={`${step} ${field}`}>
                  <a class="run-link" href={to("run", line.id, "sum", step, field, row.name, result)}>
                    <span class="run-link-name">{title}</span>
                    <span>
                      {value === null
                        ? label
                        : t("sums-put-now", { label, value: `${figure(value)} ${unit}`.trim() })}
                    </span>
                  </a>
                </li>
              ))}
            </ul>
          </section>
        ))}
    </Page>
  );
}

const lineName = ({ vessel, title }: RunLine): string =>
  vessel ? t("run-name", { vessel: vesselName(vessel), title }) : title;

/** Asked of the core for every open run; null until it has answered for this very result. */
function useTakers(calculation: string, result: string): readonly Taking[] | null {
  const [found, setFound] = useState<{ readonly of: string; readonly taking: readonly Taking[] } | null>(
    null,
  );
  const runs = openLines.value;
  useEffect(() => {
    let stale = false;
    takersIn(runs, calculation, result).then(
      (taking) => !stale && setFound({ of: result, taking }),
      reportError,
    );
    return () => {
      stale = true;
    };
  }, [calculation, result, runs]);
  return found?.of === result ? found.taking : null;
}
