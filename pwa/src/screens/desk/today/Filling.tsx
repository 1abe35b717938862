/** Which vessels may be filled now, which after a sanitise, which not and why: by the rule that stops a fill. */
import { t } from "../../../messages";
import type { FillStanding } from "../../../shapes";
import { to } from "../../../state/route";
import { VerdictShape } from "../../../ui/Shape";

const WHEN = [
  ["now", "target"],
  ["sanitise", "advise"],
  ["no", "stop"],
] as const;

export function Filling({ rows }: { readonly rows: readonly FillStanding[] }) {
  if (rows.length === 0) return null;
  return (
    <section>
      <h2>{t("today-filling")}</h2>
      <div class="filling">
        {WHEN.map(([ready, verdict]) => {
          const here = rows.filter((row) => row.ready === ready);
          return (
            <div key={ready}>
              <h3>
                <span class="verdict-word" data-verdict={verdict}>
                  <VerdictShape verdict={verdict} />
                  {t(`today-fill-${ready}`)}
                </span>
              </h3>
              {here.length === 0 && <p class="whose">{t("today-fill-none")}</p>}
              <ul>
                {here.map((row) => (
                  <li key={row.id}>
                    <a href={to("vessel", row.id)}>{row.name ?? row.id}</a>
                    {ready === "no" && <span class="whose"> {row.why.join(" ")}</span>}
                  </li>
                ))}
              </ul>
            </div>
          );
        })}
      </div>
    </section>
  );
}
