import { t } from "../../messages";
import { reopen } from "../../state/saving";
import { Page, Title } from "../../ui/Page";

/** Blocks everything until the record is on the phone: nobody may walk away believing it is. */
export function NotSaved({ retry }: { readonly retry: () => void }) {
  return (
    <main class="not-saved" aria-live="assertive">
      <Title text={t("not-saved")} />
      <p>{t("not-saved-what")}</p>
      <p>{t("not-saved-do")}</p>
      <button type="button" class="press main" onClick={retry}>
        {t("try-again")}
      </button>
    </main>
  );
}

/** The log cannot be opened: another tab holds an older version of it, or this phone refuses. */
export function LogShut({ state }: { readonly state: "blocked" | "failed" }) {
  return (
    <Page
      title={t(`log-${state}`)}
      dock={
        <button type="button" class="press main" onClick={() => void reopen().catch(console.error)}>
          {t("try-again")}
        </button>
      }
    >
      <p>{t(`log-${state}-do`)}</p>
    </Page>
  );
}
