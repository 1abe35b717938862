/** All that was administered, newest first: who did what to people, phones, procedures and figures. */
import { useState } from "preact/hooks";
import { t } from "../../messages";
import type { Administered } from "../../shapes";
import { administered } from "../../state/administered";
import { Administrations } from "./Administrations";
import { administration } from "./answers";
import { said, useAsked } from "./asked";
import { DeskPage } from "./DeskPage";

type Older = { readonly rows: readonly Administered[]; readonly next: string | null };

export function Administration() {
  const { answer, wrong, again } = useAsked(() => administration(), `administration ${administered.value}`);
  const [older, setOlder] = useState<Older | null>(null);
  const [failed, setFailed] = useState("");
  const next = older ? older.next : (answer?.next ?? null);
  const more = async (after: string) => {
    try {
      const page = await administration(after);
      setOlder({ rows: [...(older?.rows ?? []), ...page.administration], next: page.next });
      setFailed("");
    } catch (error) {
      setFailed(said(error));
    }
  };
  const first = answer?.administration ?? [];
  const rows = [...first, ...(older?.rows ?? [])].filter(
    ({ sequence }, at, all) => all.findIndex((row) => row.sequence === sequence) === at,
  );
  return (
    <DeskPage title={t("desk-administration")} wrong={wrong} again={again}>
      <p>{t("administration-lead")}</p>
      <Administrations rows={rows} />
      {failed && (
        <p class="wrong" role="alert">
          {failed}
        </p>
      )}
      {next && (
        <button type="button" class="press small" onClick={() => void more(next)}>
          {t("register-more")}
        </button>
      )}
    </DeskPage>
  );
}
