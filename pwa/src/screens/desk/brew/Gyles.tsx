/** What was brewed, the last begun first. */
import { t } from "../../../messages";
import { vesselName } from "../../../state/known";
import { to } from "../../../state/route";
import { moment } from "../../../ui/time";
import { useAsked } from "../asked";
import { DeskPage } from "../DeskPage";
import { Heads } from "../Heads";
import { gyles } from "./answers";

export function Gyles() {
  const { answer, wrong, again } = useAsked(gyles, "");
  return (
    <DeskPage title={t("desk-gyles")} wrong={wrong} again={again}>
      {answer?.length === 0 && <p>{t("gyles-none")}</p>}
      {answer && answer.length > 0 && (
        <table class="register">
          <Heads
            of={[
              t("column-gyle"),
              t("column-recipe"),
              t("column-begun"),
              t("filter-vessel"),
              t("column-runs"),
            ]}
          />
          <tbody>
            {answer.map((row) => (
              <tr key={row.id}>
                <td>
                  <a href={to("record", "gyle", row.id)}>{row.id}</a>
                </td>
                <td>{row.recipe?.name ?? "–"}</td>
                <td>{moment(row.begun)}</td>
                <td>{row.vessels.map(vesselName).join(", ")}</td>
                <td>{t("gyle-runs", { count: row.runs, open: row.open })}</td>
              </tr>
            ))}
          </tbody>
        </table>
      )}
    </DeskPage>
  );
}
