/** Every recipe of the site, as this device holds it. */
import { current } from "../../../identity";
import { t } from "../../../messages";
import { recipeCards } from "../../../state/known";
import { to } from "../../../state/route";
import { figure } from "../../../ui/figures";
import { DeskPage } from "../DeskPage";
import { Heads } from "../Heads";

export function Recipes() {
  const rows = recipeCards();
  return (
    <DeskPage title={t("desk-recipes")}>
      {rows.length === 0 ? (
        <p>{t("recipes-none")}</p>
      ) : (
        <table class="register">
          <Heads of={[t("column-recipe"), t("column-version"), t("column-original"), t("column-volume")]} />
          <tbody>
            {rows.map((row) => (
              <tr key={row.id}>
                <td>
                  <a href={to("record", "recipe", row.id)}>{row.name}</a>
                </td>
                <td>{t("recipe-version", { version: row.version ?? 0 })}</td>
                <td>{figure(String(row.original_sg ?? ""))}</td>
                <td>
                  {row.volume_l !== undefined &&
                    t("recipe-volume", {
                      brews: Number(row.brews ?? 1),
                      volume: figure(String(row.volume_l)),
                    })}
                </td>
              </tr>
            ))}
          </tbody>
        </table>
      )}
      {current.value?.role === "manager" && (
        <p>
          <a class="press main" href={to("record", "recipe-new")}>
            {t("recipe-new")}
          </a>
        </p>
      )}
    </DeskPage>
  );
}
