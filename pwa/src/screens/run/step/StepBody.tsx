/** A step's own words, its entries and its hold. Both ways of showing a run use it. */
import { useEffect } from "preact/hooks";
import { t } from "../../../messages";
import { lastMade } from "../../../state/act";
import { cautionsAt } from "../../../state/cautions";
import { personName } from "../../../state/known";
import { to } from "../../../state/route";
import type { Session } from "../../../state/run";
import type { Entry, Step, StepView } from "../../../state/view";
import { moment } from "../../../ui/time";
import { CautionsBeside } from "../caution/CautionsBeside";
import { Field } from "../enter/Field";
import { HoldPart } from "./HoldPart";
import { Interlocks } from "./Interlocks";

type Props = {
  readonly run: Session;
  readonly step: Step;
  readonly view: StepView;
  /** Why and how folded away, for the hand who knows them. */
  readonly brief?: boolean;
};

export function StepBody({ run, step, view, brief = false }: Props) {
  useVerdictInSight(step, view);
  return (
    <div class="step-body">
      <Interlocks run={run} step={step} />
      <CautionsBeside step={step} />
      <Standing run={run} step={step} view={view} />
      <HoldPart run={run} step={step} view={view} />
      {brief ? (
        <details class="why">
          <summary>{t("step-why-how")}</summary>
          <Words step={step} />
          <CautionLinks run={run} step={step} />
        </details>
      ) : (
        <>
          <Words step={step} />
          <CautionLinks run={run} step={step} />
        </>
      )}
      <Entries run={run} step={step} view={view} />
    </div>
  );
}

/** How many entries that may be left out stand open in a step; more of them are folded under one line. */
const BESIDES = 2;

function Entries({ run, step, view }: Omit<Props, "brief">) {
  const all = step.entries ?? [];
  const besides = all.filter((entry) => entry.optional && view.entries[entry.id]?.status === "empty");
  const folded = besides.length > BESIDES ? besides : [];
  const shown = (entry: Entry) => {
    const field = view.entries[entry.id];
    return field && <Field key={entry.id} run={run} step={step} entry={entry} field={field} view={view} />;
  };
  return (
    <>
      {all.filter((entry) => !folded.includes(entry)).map(shown)}
      {folded.length > 0 && (
        <details class="why besides">
          <summary>{t("step-besides", { count: folded.length })}</summary>
          {folded.map(shown)}
        </details>
      )}
    </>
  );
}

/** Brings the entry just made, and its verdict, before the eyes. */
function useVerdictInSight(step: Step, view: StepView): void {
  useEffect(() => {
    const event = lastMade.peek()?.event;
    const field = Object.keys(view.entries).find((id) => view.entries[id]?.events.at(-1) === event);
    if (event && field && fresh !== event) {
      fresh = event;
      document.getElementById(`field-${step.id}-${field}`)?.scrollIntoView({ block: "center" });
    }
  }, [step.id, view]);
}

/** The entry that has been brought into sight already. */
let fresh: string | null = null;

function Words({ step }: { readonly step: Step }) {
  return (
    <dl class="words">
      <div>
        <dt>{t("step-why")}</dt>
        <dd>{step.why}</dd>
      </div>
      <div>
        <dt>{t("step-how")}</dt>
        <dd>{step.how}</dd>
      </div>
    </dl>
  );
}

/** Why the step cannot be worked on, or how it was closed. */
function Standing({ run, step, view }: Omit<Props, "brief">) {
  const before = view.waits.filter((wait) => wait.code === "step");
  if (before.length > 0)
    return (
      <section class="waits">
        <h2>{t("step-shut")}</h2>
        <ul>
          {before.map((wait) => (
            <li key={wait.step}>
              <a class="press" href={to("run", run.id, "step", wait.step ?? step.id)}>
                {wait.text}
              </a>
            </li>
          ))}
        </ul>
      </section>
    );
  if (view.done && view.waits.some((wait) => wait.code === "second"))
    return <p class="banner">{t("step-waits-second", by(view.done))}</p>;
  if (view.status === "reopened") return <p class="banner">{t("step-reopened")}</p>;
  if (view.skipped)
    return (
      <p class="closed-how">{t("step-skipped", { ...by(view.skipped), reason: view.skipped.reason })}</p>
    );
  if (view.status !== "done" || !view.done) return null;
  return (
    <p class="closed-how">
      {t("step-done", by(view.done))}
      {view.signed && ` ${t("step-signed", by(view.signed))}`}{" "}
      {run.view.status === "open" && (
        <a href={to("run", run.id, "strike", view.done.event)}>{t("strike-tick")}</a>
      )}
    </p>
  );
}

const by = (mark: { readonly person: string; readonly time: string }) => ({
  person: personName(mark.person),
  time: moment(mark.time),
});

/** The cautions of the step, one press away once they have been met. */
function CautionLinks({ run, step }: { readonly run: Session; readonly step: Step }) {
  const all = cautionsAt(step.id)?.all ?? [];
  if (all.length === 0) return null;
  return (
    <ul class="caution-links" aria-label={t("cautions")}>
      {all.map((caution) => (
        <li key={caution.id}>
          <a href={to("run", run.id, "caution", caution.id)}>{caution.title}</a>
        </li>
      ))}
    </ul>
  );
}
