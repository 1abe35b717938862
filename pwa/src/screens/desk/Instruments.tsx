/** The site's instruments by kind, and how each stands by its checks. */
import { current } from "../../identity";
import { known, t } from "../../messages";
import { to } from "../../state/route";
import type { InstrumentView } from "../../state/view";
import { StepShape, VerdictShape } from "../../ui/Shape";
import { standing } from "../now/instrument";
import { useAsked } from "./asked";
import { DeskPage } from "./DeskPage";
import { instruments, type Listed } from "./listed";

export function Instruments() {
  const { answer, wrong, again, behind } = useAsked(instruments, "instruments");
  const rows = answer?.instruments ?? [];
  const kinds = [...new Set(rows.map((row) => row.kind))];
  return (
    <DeskPage title={t("desk-instruments")} wrong={wrong} again={again} behind={behind}>
      {answer && rows.length === 0 && <p>{t("instruments-none")}</p>}
      {kinds.map((kind) => (
        <section key={kind}>
          <h2>{known(`instruments-of-${kind}`, kind)}</h2>
          <ul class="need-list">
            {rows
              .filter((row) => row.kind === kind)
              .map((row) => (
                <li key={row.id}>
                  <Card row={row} />
                </li>
              ))}
          </ul>
        </section>
      ))}
      {answer && current.value?.role === "manager" && (
        <p>
          <a class="press main" href={to("record", "instrument")}>
            {t("instrument-new")}
          </a>
        </p>
      )}
    </DeskPage>
  );
}

function Card({ row }: { readonly row: Listed }) {
  const open = row.doubt.filter((told) => !told.answered).length;
  return (
    <a class="need" href={to("record", "instrument", row.id)}>
      <strong>{row.name}</strong>
      <InstrumentStanding row={row} />
      {open > 0 && <span>{t("instrument-doubts-open", { count: open })}</span>}
      <span class="whose">{row.place}</span>
    </a>
  );
}

const VERDICTS = { good: "target", due: "advise", failed: "stop" } as const;

/** How an instrument stands: a shape and words. */
export function InstrumentStanding({ row }: { readonly row: InstrumentView<string> }) {
  const verdict = row.state === "out" ? null : VERDICTS[row.state];
  return (
    <span class="verdict-word" data-verdict={verdict}>
      {verdict ? <VerdictShape verdict={verdict} /> : <StepShape status="skipped" />}
      {standing(row)}
    </span>
  );
}
