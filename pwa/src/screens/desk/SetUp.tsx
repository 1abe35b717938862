/** What is set up once and seldom changed, in the order a new brewery goes through it: each a page of its own. */
import { people } from "../../identity";
import { t } from "../../messages";
import { vesselCards } from "../../state/known";
import { to } from "../../state/route";
import { reference } from "../../sync";
import { DeskPage } from "./DeskPage";

export function SetUp() {
  const steps = [
    { name: "vessels", count: vesselCards().length },
    { name: "people", count: people().length },
    { name: "figures", count: null },
    { name: "instruments", count: (reference.value?.instruments ?? []).length },
    { name: "recipes", count: (reference.value?.recipes ?? []).length },
    { name: "devices", count: null },
    { name: "labels", count: null },
  ] as const;
  return (
    <DeskPage title={t("desk-set-up")}>
      <p>{t("set-up-lead")}</p>
      <ol class="need-list">
        {steps.map(({ name, count }) => (
          <li key={name}>
            <a class="need" href={to("record", name)}>
              <strong>{t(`desk-${name}`)}</strong>
              <span>{t(`set-up-${name}`)}</span>
              {count !== null && <span class="whose">{t("set-up-count", { count })}</span>}
            </a>
          </li>
        ))}
      </ol>
    </DeskPage>
  );
}
