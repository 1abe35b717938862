/** One renderer for the working of every sum: what went in, the formula in words, each step, the result, and whence. */
import type { ComponentChildren } from "preact";
import { t } from "../messages";
import type { Figure, Working as Sum } from "../state/view";
import { figure } from "./figures";

type Props = {
  readonly working: Sum;
  /** Shown between the result and its working: what the result is judged to be. */
  readonly children?: ComponentChildren;
};

export function Working({ working, children }: Props) {
  const [main, ...others] = working.results;
  return (
    <section class="working" aria-label={working.title}>
      <h2 class="unseen">{t("working-result")}</h2>
      {main && (
        <p class="result">
          <span class="result-label">{main.label}</span>
          <Value value={main.value} unit={main.unit} />
        </p>
      )}
      {children}
      {working.marks.map((mark) => (
        <p class="mark" key={mark}>
          {t("working-mark", { mark })}
        </p>
      ))}
      <h3>{t("working-inputs")}</h3>
      <Figures rows={working.inputs} />
      <h3>{t("working-formula")}</h3>
      <p>{working.formula}</p>
      {working.steps.length > 0 && (
        <>
          <h3>{t("working-steps")}</h3>
          <Figures rows={working.steps} />
        </>
      )}
      {others.length > 0 && (
        <>
          <h3>{t("working-others")}</h3>
          <Figures rows={others} />
        </>
      )}
      <p>{working.rounding}</p>
      {working.assumptions.length > 0 && (
        <>
          <h3>{t("working-assumptions")}</h3>
          <Bullets rows={working.assumptions} />
        </>
      )}
      <h3>{t("working-sources")}</h3>
      <Bullets
        rows={working.sources.map((source) =>
          t("working-source", { title: source.title, kind: t(`source-${source.kind}`) }),
        )}
      />
    </section>
  );
}

export function Value({ value, unit }: { readonly value: string; readonly unit: string }) {
  return (
    <span class="value">
      <span class="value-number">{figure(value)}</span>
      {unit && <span class="value-unit"> {unit}</span>}
    </span>
  );
}

function Figures({ rows }: { readonly rows: readonly Figure[] }) {
  return (
    <dl class="figures">
      {rows.map((row) => (
        <div key={row.id}>
          <dt>{row.label}</dt>
          <dd>
            <Value value={row.value} unit={row.unit} />
          </dd>
        </div>
      ))}
    </dl>
  );
}

export function Bullets({ rows }: { readonly rows: readonly string[] }) {
  return (
    <ul class="bullets">
      {rows.map((row) => (
        <li key={row}>{row}</li>
      ))}
    </ul>
  );
}
