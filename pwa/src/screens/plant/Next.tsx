/** What can be begun: what the vessel needs next in one large press, two beside it, the rest folded by kind. */
import type { ComponentChildren } from "preact";
import { t } from "../../messages";
import { PROCEDURE_KIND } from "../../shapes";
import { procedure, runTitle } from "../../state/known";
import { type Proposal, useProposed } from "../../state/proposals";
import { to } from "../../state/route";
import type { Procedure } from "../../state/view";

/** So many are told of at once; more is a list, and nobody begins with a list. */
const MOST_DUE = 3;

type Row = { readonly proposal: Proposal; readonly held: Procedure };

const held = (rows: readonly Proposal[]): readonly Row[] =>
  rows.flatMap((proposal) => {
    const found = procedure(proposal.procedure);
    return found ? [{ proposal, held: found }] : [];
  });

type StartableProps = { readonly id: string; readonly children: ComponentChildren };

/** What can be begun on a vessel: what it needs next over `children`, all else below. */
export function Startable({ id, children }: StartableProps) {
  const rows = held(useProposed(id) ?? []);
  if (rows.length === 0) return <>{children}</>;
  const at = (place: Proposal["place"]) => rows.filter(({ proposal }) => proposal.place === place);
  return (
    <>
      <section>
        <h2>{t("vessel-start")}</h2>
        <Presses rows={at("next")} main />
        <Presses rows={at("beside")} />
      </section>
      {children}
      <section>
        <h2>{t("vessel-start-else")}</h2>
        <Folded rows={at("rest")} />
      </section>
    </>
  );
}

/** What is done at no vessel. */
export function Elsewhere() {
  return <Folded rows={held(useProposed(null) ?? [])} />;
}

/** What must not wait, over all vessels. */
export function DueNow() {
  const rows = held(useProposed() ?? []).slice(0, MOST_DUE);
  if (rows.length === 0) return null;
  return (
    <section>
      <h2>{t("due-now")}</h2>
      <ul class="run-links">
        {rows.map(({ proposal: { vessel, why }, held: { id, title } }) => (
          <li key={vessel}>
            <a class="run-link" href={to("start", id, vessel ?? "")}>
              <span class="run-link-name">{runTitle(vessel, title)}</span>
              <span>{why}</span>
            </a>
          </li>
        ))}
      </ul>
    </section>
  );
}

function Folded({ rows }: { readonly rows: readonly Row[] }) {
  return (
    <>
      {PROCEDURE_KIND.map((kind) => {
        const mine = rows.filter((row) => row.held.kind === kind);
        if (mine.length === 0) return null;
        return (
          <details key={kind} class="kind-fold">
            <summary>{t("start-kind", { kind: t(`kind-${kind}`), count: mine.length })}</summary>
            <Presses rows={mine} />
          </details>
        );
      })}
    </>
  );
}

function Presses({ rows, main = false }: { readonly rows: readonly Row[]; readonly main?: boolean }) {
  if (rows.length === 0) return null;
  return (
    <ul class="presses">
      {rows.map(({ proposal, held: { id, title } }) => (
        <li key={id} class="offer">
          <a
            class={main ? "press main" : proposal.fit ? "press" : "press unfit"}
            href={proposal.vessel ? to("start", id, proposal.vessel) : to("start", id)}
            aria-describedby={proposal.why ? `why-${id}` : undefined}
          >
            {title}
          </a>
          {proposal.why && (
            <p id={`why-${id}`} class="offer-why">
              {proposal.why}
            </p>
          )}
        </li>
      ))}
    </ul>
  );
}
