/** What can hurt, before the step opens: in full, or as short states to be seen. The loudest thing the app shows. */
import type { ComponentChildren, ComponentType } from "preact";
import { useEffect, useState } from "preact/hooks";
import { t } from "../../../messages";
import { meet, type Shown } from "../../../state/cautions";
import { caution as cautionBy, stepOf } from "../../../state/known";
import type { Route } from "../../../state/route";
import type { Session } from "../../../state/run";
import type { Caution } from "../../../state/view";
import { HoldButton } from "../../../ui/HoldButton";
import { Page } from "../../../ui/Page";
import { WarningShape } from "../../../ui/Shape";
import { Bullets } from "../../../ui/Working";
import { later } from "../../load";
import { runName } from "../read/name";
import { useDueCautions } from "./due";

type Props = {
  readonly over: string;
  readonly step: string;
  readonly screen: readonly Shown[];
  readonly back: Route;
  readonly met: () => Promise<void>;
  /** What else can be done here than meet them: an optional step can be passed by. */
  readonly instead?: ComponentChildren;
};

export function CautionScreen({ over, step, screen, back, met, instead }: Props) {
  const [busy, setBusy] = useState(false);
  const full = screen.some((row) => row.show === "full");
  const done = async () => {
    setBusy(true);
    try {
      await met();
    } finally {
      setBusy(false);
    }
  };
  return (
    <Page
      key={screen.map((row) => row.caution.id).join(" ")}
      title={t(full ? "caution-title" : "caution-seen-title")}
      over={over}
      back={back}
      dock={
        <>
          {instead}
          <HoldButton
            label={t(full ? "caution-met" : "caution-seen", { count: screen.length })}
            tone="caution"
            busy={busy}
            onHeld={() => void done()}
          />
        </>
      }
    >
      <p class="before">{t("caution-before-step", { step })}</p>
      {full ? (
        screen.map((row) => <Full key={row.caution.id} caution={row.caution} />)
      ) : (
        <States screen={screen} />
      )}
    </Page>
  );
}

export function States({ screen }: { readonly screen: readonly Shown[] }) {
  return (
    <>
      {screen.map(({ caution }) => (
        <section class="caution-states" key={caution.id}>
          <h2 class="caution-head">
            <WarningShape />
            {caution.title}
          </h2>
          <Bullets rows={caution.seen} />
        </section>
      ))}
    </>
  );
}

/** Everything there is to say about one hazard, in the order it is needed. */
export function Full({ caution }: { readonly caution: Caution }) {
  const [Drawn, setDrawn] = useState<{ readonly Signs: ComponentType<{ ids: readonly string[] }> } | null>(
    null,
  );
  useEffect(() => {
    later()
      .then(({ signs }) => signs())
      .then(setDrawn, reportError);
  }, []);
  return (
    <article class="caution-full">
      <h2 class="caution-head">
        <WarningShape />
        {caution.title}
      </h2>
      <p class="caution-effect">{caution.effect}</p>
      <p>{caution.hazard}</p>
      {Drawn && <Drawn.Signs ids={caution.pictograms} />}
      <Part title={t("caution-wear")} rows={caution.wear} />
      <Part title={t("caution-before")} rows={caution.first} />
      <Part title={t("caution-minute")} rows={caution.minute} />
      <Part title={t("caution-look")} rows={caution.seen} />
      <p class="defer">{caution.defer}</p>
      <details class="why">
        <summary>{t("caution-whence")}</summary>
        <Bullets rows={caution.codes} />
        <Bullets rows={caution.sources} />
      </details>
    </article>
  );
}

function Part({ title, rows }: { readonly title: string; readonly rows: readonly string[] }) {
  if (rows.length === 0) return null;
  return (
    <>
      <h3>{title}</h3>
      <Bullets rows={rows} />
    </>
  );
}

type MetProps = { readonly run: Session; readonly step: string; readonly children: ComponentChildren };

/** Shows what is inside once the person has met the cautions of the step. */
export function Met({ run, step, children }: MetProps) {
  const due = useDueCautions(run, step);
  const back = ["run", run.id, "step", step];
  const title = stepOf(run.procedure, step)?.title ?? step;
  if (due === null) return <Page title={title} over={runName(run)} back={back} />;
  if (due.length === 0) return <>{children}</>;
  return (
    <CautionScreen over={runName(run)} step={title} screen={due} back={back} met={() => meet(step, due)} />
  );
}

/** A caution read once more, from a step that has been opened. */
export function CautionAgain({ run, id }: { readonly run: Session; readonly id: string }) {
  const caution = cautionBy(id);
  if (!caution) return <Page title={t("not-found")} back={["run", run.id]} />;
  return (
    <Page title={caution.title} over={runName(run)} back={["run", run.id]}>
      <Full caution={caution} />
    </Page>
  );
}
