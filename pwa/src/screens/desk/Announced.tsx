/** What a manager must hear of at once, until one has put it away: new phones, secrets set, sign-ins refused. */
import { useState } from "preact/hooks";
import { t } from "../../messages";
import type { Administered } from "../../shapes";
import { to } from "../../state/route";
import { Administrations } from "./Administrations";
import { putAway } from "./answers";
import { said } from "./asked";

type Props = {
  readonly rows: readonly Administered[];
  readonly count: number;
  readonly changed: () => void;
};

export function Announced({ rows, count, changed }: Props) {
  const [wrong, setWrong] = useState("");
  const [newest] = rows;
  if (!newest) return null;
  const away = async () => {
    try {
      await putAway(newest.sequence);
      setWrong("");
      changed();
    } catch (error) {
      setWrong(said(error));
    }
  };
  return (
    <section>
      <h2>{t("announced", { count })}</h2>
      <p>{t("announced-what")}</p>
      <Administrations rows={rows} />
      {wrong && (
        <p class="wrong" role="alert">
          {wrong}
        </p>
      )}
      <p class="announced-do">
        <button type="button" class="press small" onClick={() => void away()}>
          {t("announced-away")}
        </button>
        <a href={to("record", "administration")}>{t("announced-all")}</a>
      </p>
    </section>
  );
}
