/** Where an interlock stands against a step: why, what to do, which other vessel would do, and who may override it. */
import { useEffect } from "preact/hooks";
import { t } from "../../../messages";
import { board } from "../../../state/board";
import { type Interlock, look, lookAt, type Offer } from "../../../state/looks";
import { to } from "../../../state/route";
import type { Session } from "../../../state/run";
import type { Step } from "../../../state/view";
import { moment } from "../../../ui/time";
import { Bullets } from "../../../ui/Working";
import { asKnown } from "../../now/known";

type Props = { readonly run: Session; readonly step: Step };

export function Interlocks({ run, step }: Props) {
  useEffect(() => {
    if (step.asks) look(step.id).catch(reportError);
  }, [run.id, run.live, run.view, step, board.value]);
  if (!step.asks) return null;
  return (
    <>
      {(lookAt(step.id)?.interlocks ?? []).map((row) => (
        <One key={row.interlock} run={run} step={step} row={row} />
      ))}
    </>
  );
}

const standing = (row: Interlock): string => (row.override ? "overridden" : row.stops ? "stops" : "warns");

function One({ run, step, row }: Props & { readonly row: Interlock }) {
  return (
    <section class="interlock" data-standing={standing(row)}>
      <h2>{t(`interlock-${standing(row)}`, { title: row.title })}</h2>
      <Bullets rows={row.reasons} />
      {row.do.length > 0 && <h3>{t("interlock-do")}</h3>}
      <Bullets rows={row.do} />
      {row.offers.length > 0 && <h3>{t("interlock-offers")}</h3>}
      {row.offers.map((offer) => (
        <OfferPress key={offer.id} offer={offer} />
      ))}
      <p class="whose">{asKnown()}</p>
      {row.stops && row.by.length > 0 && (
        <a class="press" href={to("run", run.id, "override", step.id, row.interlock)}>
          {t("override")}
        </a>
      )}
    </section>
  );
}

function OfferPress({ offer }: { readonly offer: Offer }) {
  return (
    <a class="press" href={to("vessel", offer.id)}>
      {t("interlock-offer", {
        vessel: offer.name,
        state: t(`vessel-state-${offer.state}`),
        time: moment(offer.until),
      })}
    </a>
  );
}
