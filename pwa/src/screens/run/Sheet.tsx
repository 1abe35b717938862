/** A paper copy of the run's steps, for when no phone can be used; its readings are keyed in later and marked so. */
import { t } from "../../messages";
import { caution, vesselName } from "../../state/known";
import { to } from "../../state/route";
import type { Session } from "../../state/run";
import type { Step } from "../../state/view";
import { Page } from "../../ui/Page";
import { Qr } from "../../ui/Qr";

export function Sheet({ run }: { readonly run: Session }) {
  return (
    <Page
      title={run.procedure?.title ?? t("sheet-title")}
      over={vesselName(run.view.vessel)}
      back={["run", run.id, "more"]}
      dock={
        <button type="button" class="press main" onClick={() => print()}>
          {t("sheet-print")}
        </button>
      }
    >
      <div class="sheet-top">
        <div>
          <p>{t("sheet-lead")}</p>
          <p class="sheet-id">{t("sheet-run", { id: run.id })}</p>
        </div>
        <Qr text={`${location.origin}/${to("run", run.id)}`} label={t("sheet-qr")} />
      </div>
      <ol class="sheet">
        {run.procedure?.steps.map((step, at) => (
          <SheetStep key={step.id} step={step} number={at + 1} />
        ))}
      </ol>
    </Page>
  );
}

function SheetStep({ step, number }: { readonly step: Step; readonly number: number }) {
  const seen = (step.cautions ?? []).flatMap((id) => caution(id) ?? []);
  return (
    <li class="sheet-step">
      <h2>{t("step-numbered", { number, title: step.title })}</h2>
      {seen.map((row) => (
        <p class="sheet-caution" key={row.id}>
          {row.title}. {row.seen.join(" ")}
        </p>
      ))}
      <p>{step.how}</p>
      {step.entries?.map((entry) => (
        <p class="blank" key={entry.id}>
          <span>{entry.label}</span>
          <span>
            {entry.options
              ? entry.options.map((option) => `□ ${option.label}`).join("   ")
              : (entry.unit ?? "")}
          </span>
        </p>
      ))}
      <p class="blank">
        <span>{t("sheet-by")}</span>
        <span>{t("sheet-time")}</span>
      </p>
    </li>
  );
}
