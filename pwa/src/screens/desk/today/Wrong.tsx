/** What can't wait, each on one line with the way to its place, the gravest first. */
import { t } from "../../../messages";
import { runTitle, vesselName } from "../../../state/known";
import { to } from "../../../state/route";
import { VerdictShape } from "../../../ui/Shape";
import { moment } from "../../../ui/time";
import type { Needs } from "../answers";
import type { Deviation, Deviations } from "../deviations/listed";

/** So many deviations are named before they are only counted. */
const NAMED = 8;

type Line = { readonly key: string; readonly href: string; readonly words: string };
type Props = { readonly needs: Needs; readonly open: Deviations };

export function Wrong({ needs, open }: Props) {
  const rows = linesOf(needs, open);
  return (
    <section>
      <h2>{t("today-wrong")}</h2>
      {rows.length === 0 && <p class="calm">{t("today-nothing")}</p>}
      <ul class="wrong-list">
        {rows.map((row) => (
          <li key={row.key}>
            <a href={row.href}>
              <VerdictShape verdict="stop" />
              <span>{row.words}</span>
            </a>
          </li>
        ))}
      </ul>
    </section>
  );
}

function linesOf(needs: Needs, open: Deviations): readonly Line[] {
  return [
    ...(needs.holds ?? []).map((row) => ({
      key: `hold ${row.id}`,
      href: to("vessel", row.id),
      words: t("today-hold", { vessel: row.name ?? row.id }),
    })),
    ...(needs.standing ?? []).map((row) => ({
      key: `standing ${row.run}`,
      href: to("record", "run", row.run),
      words: t("today-standing", { vessel: vesselName(row.vessel), time: moment(row.since) }),
    })),
    ...deviationLines(open),
    ...(needs.checks ?? []).map((row) => ({
      key: `check ${row.id}`,
      href: to("vessel", row.id),
      words: t("today-check", { vessel: row.name ?? row.id, time: moment(row.check_due ?? "") }),
    })),
    ...needs.instruments
      .filter((row) => row.state === "failed")
      .map((row) => ({
        key: `instrument ${row.id}`,
        href: to("record", "instrument", row.id),
        words: t("today-instrument", { name: row.name }),
      })),
    ...(needs.silent ?? []).map((row) => ({
      key: `silent ${row.id}`,
      href: to("record", "devices"),
      words: t("today-silent", { name: row.name, time: moment(row.heard ?? row.enrolled) }),
    })),
    ...(needs.counts.quarantine > 0
      ? [
          {
            key: "quarantine",
            href: to("record", "quarantine"),
            words: t("needs-quarantine", { count: needs.counts.quarantine }),
          },
        ]
      : []),
  ];
}

/** Reviews that did not accept come before the rest. */
function deviationLines({ deviations, counts }: Deviations): readonly Line[] {
  const rejected = deviations.filter((row) => row.trouble === "review-rejected");
  const rest = deviations.filter((row) => row.trouble !== "review-rejected");
  const shown = [...rejected, ...rest].slice(0, Math.max(NAMED, rejected.length));
  const more = counts.open - shown.length;
  const lines = shown.map((row) => ({
    key: `${row.run} ${row.event} ${row.trouble ?? ""}`,
    href: row.vessel ? to("record", "deviations", row.vessel) : to("record", "deviations"),
    words: said(row),
  }));
  if (more <= 0) return lines;
  return [
    ...lines,
    {
      key: "more",
      href: to("record", "deviations"),
      words: t("today-deviations-more", { count: more }),
    },
  ];
}

function said(row: Deviation): string {
  if (row.trouble === "review-rejected") return t("today-rejected", { vessel: vesselName(row.vessel) });
  return t("today-deviation", { where: runTitle(row.vessel, row.title), text: row.text });
}
