/** The rows of the register: one run each, and the way into its record. */
import type { RunSummary } from "../../../api";
import { t } from "../../../messages";
import { personName, vesselName } from "../../../state/known";
import { to } from "../../../state/route";
import { moment } from "../../../ui/time";
import { Heads } from "../Heads";
import { reviewWords } from "../reviewed";
import { found } from "./found";

export function Table({ rows }: { readonly rows: readonly RunSummary[] }) {
  return (
    <table class="register">
      <Heads
        of={[
          t("column-when"),
          t("filter-vessel"),
          t("filter-procedure"),
          t("filter-person"),
          t("filter-found"),
          t("filter-review"),
        ]}
      />
      <tbody>
        {rows.map((line) => (
          <Row key={line.id} line={line} />
        ))}
      </tbody>
    </table>
  );
}

function Row({ line }: { readonly line: RunSummary }) {
  const end = line.finished ?? line.opened;
  return (
    <tr>
      <td>
        <a href={to("record", "run", line.id)}>{end ? moment(end.time) : line.id}</a>
      </td>
      <td>{line.vessel ? vesselName(line.vessel) : "–"}</td>
      <td>
        {line.title}
        {line.status !== "finished" && <span class="tag"> {t(`run-status-${line.status}`)}</span>}
      </td>
      <td>{end && personName(end.person)}</td>
      <td>{found(line)}</td>
      <td>{line.status === "open" && !line.review ? "–" : reviewWords(line.review)}</td>
    </tr>
  );
}
