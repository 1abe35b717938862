/** Runs that cannot be shown, said plainly, so that nobody takes one for lost or does it again. */
import { t } from "../../messages";
import { faults } from "../../state/board";
import { runTitle } from "../../state/known";
import { to } from "../../state/route";

export function Faults({ vessel }: { readonly vessel?: string }) {
  const rows = faults.value.filter((row) => vessel === undefined || row.vessel === vessel);
  return (
    <>
      {rows.map((row) => (
        <p class="banner faults" key={row.run}>
          <a href={to("run", row.run)}>{runTitle(row.vessel, row.title)}</a> {t("run-not-shown")}
        </p>
      ))}
    </>
  );
}
