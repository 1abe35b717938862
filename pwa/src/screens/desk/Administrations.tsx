/** Rows of what was administered: what, by whom, when. */
import { t } from "../../messages";
import type { Administered } from "../../shapes";
import { fullDay, timeWithSeconds } from "../../ui/time";
import { whatWas, whoDid } from "./administered";

export function Administrations({ rows }: { readonly rows: readonly Administered[] }) {
  return (
    <ul class="administrations">
      {rows.map((row) => (
        <li key={row.sequence}>
          <p>{whatWas(row)}</p>
          <p class="whose">
            {t("admin-when", {
              person: whoDid(row),
              day: fullDay(row.recordedtime),
              time: timeWithSeconds(row.recordedtime),
            })}
          </p>
        </li>
      ))}
    </ul>
  );
}
