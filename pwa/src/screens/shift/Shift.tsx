/** The end of a shift: what hurts now, what runs, what waits for somebody, what was noticed; for whoever comes next. */
import { useState } from "preact/hooks";
import { t } from "../../messages";
import { board, lines, openLines } from "../../state/board";
import { personName, runTitle, vesselName } from "../../state/known";
import { to } from "../../state/route";
import { type Noticed, SHIFT_MS, useNoticed } from "../../state/shift";
import type { RunLine, VesselView } from "../../state/view";
import { Page } from "../../ui/Page";
import { moment } from "../../ui/time";
import { asKnown } from "../now/known";
import { Progress } from "../now/RunLink";
import { Until } from "../now/Until";
import { DueNow } from "../plant/Next";

/** States that can hurt who does not know of them, the worst first. */
const HURTS: readonly string[] = ["chemical", "pressure", "hot", "co2", "locked", "cleaning", "hold"];
const hurts = ({ state, chemical }: VesselView): number => (chemical === null ? HURTS.indexOf(state) : 0);

export function Shift() {
  const [since] = useState(() => Date.now() - SHIFT_MS);
  const noticed = useNoticed(since);
  const unsafe = (board.value ?? [])
    .filter((vessel) => hurts(vessel) >= 0)
    .sort((one, other) => hurts(one) - hurts(other));
  const waiting = lines.value.filter((line) => line.deviations_open > 0 && line.status !== "open");
  return (
    <Page title={t("shift")} over={asKnown()} back={[]}>
      <Section title={t("shift-hurts")} none={t("shift-hurts-nothing")}>
        {unsafe.map((vessel) => (
          <Vessel key={vessel.id} vessel={vessel} />
        ))}
      </Section>
      <Section title={t("home-running")} none={t("shift-running-nothing")}>
        {openLines.value.map((line) => (
          <Running key={line.id} line={line} />
        ))}
      </Section>
      <Section title={t("shift-waits")} none={t("shift-waits-nothing")}>
        {waiting.map((line) => (
          <li key={line.id}>
            <a class="run-link" href={to("run", line.id, "more")}>
              <span class="run-link-name">{runTitle(line.vessel, line.title)}</span>
              <span>{t("shift-deviations", { count: line.deviations_open })}</span>
            </a>
          </li>
        ))}
      </Section>
      <DueNow />
      {noticed && (
        <Section title={t("shift-noticed")} none={t("shift-noticed-nothing")}>
          {noticed.map((row) => (
            <Said key={row.event} row={row} />
          ))}
        </Section>
      )}
      <p>{t("shift-only-here")}</p>
    </Page>
  );
}

type SectionProps = {
  readonly title: string;
  readonly none: string;
  readonly children: preact.ComponentChildren[];
};

function Section({ title, none, children }: SectionProps) {
  return (
    <section>
      <h2>{title}</h2>
      {children.length > 0 ? <ul class="run-links">{children}</ul> : <p>{none}</p>}
    </section>
  );
}

function Vessel({ vessel }: { readonly vessel: VesselView }) {
  return (
    <li>
      <a class="run-link" href={to("vessel", vessel.id)}>
        <span class="run-link-name">{vesselName(vessel.id)}</span>
        <strong>{t(`vessel-state-${vessel.state}`)}</strong>
        {vessel.since !== null && <span>{t("vessel-since", { time: moment(vessel.since) })}</span>}
        <Until vessel={vessel} />
      </a>
    </li>
  );
}

function Running({ line }: { readonly line: RunLine }) {
  return (
    <li>
      <a class="run-link" href={to("run", line.id)}>
        <span class="run-link-name">{runTitle(line.vessel, line.title)}</span>
        {line.opened && (
          <span>
            {t("shift-opened", { name: personName(line.opened.person), time: moment(line.opened.time) })}
          </span>
        )}
        <Progress line={line} />
        {line.deviations_open > 0 && <span>{t("shift-deviations", { count: line.deviations_open })}</span>}
      </a>
    </li>
  );
}

function Said({ row }: { readonly row: Noticed }) {
  const line = lines.value.find(({ id }) => id === row.run);
  return (
    <li>
      <a class="run-link" href={to("run", row.run, "more")}>
        <span class="run-link-name">{row.text}</span>
        <span>
          {line ? `${runTitle(line.vessel, line.title)} · ` : ""}
          {personName(row.person)}, {moment(row.time)}
        </span>
      </a>
    </li>
  );
}
