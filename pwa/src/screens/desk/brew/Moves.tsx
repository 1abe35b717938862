/** Where a gyle's beer went: each move with what went out, what came in, what was lost, and what is lost so far. */
import { t } from "../../../messages";
import type { Gyle, Move } from "../../../state/brewing";
import { personName } from "../../../state/known";
import { to } from "../../../state/route";
import { figure } from "../../../ui/figures";
import { moment } from "../../../ui/time";
import { Value } from "../../../ui/Working";
import { Heads } from "../Heads";
import { Worked } from "./SheetTable";

export function Moves({ page }: { readonly page: Gyle }) {
  const { rows, account } = page.moves;
  if (rows.length === 0) return null;
  const total = account?.results[0];
  return (
    <section>
      <h2>{t("gyle-moves")}</h2>
      <table class="beside moves">
        <Heads
          of={[
            t("column-move"),
            t("column-way"),
            t("column-out"),
            t("column-in"),
            t("column-lost"),
            t("column-lost-so-far"),
          ]}
        />
        <tbody>
          {rows.map((row) => (
            <Row key={`${row.run} ${row.step}`} row={row} />
          ))}
        </tbody>
      </table>
      {account && total && (
        <Worked label={`${account.title}: ${figure(total.value)} ${total.unit}`} working={account} />
      )}
    </section>
  );
}

function Row({ row }: { readonly row: Move }) {
  return (
    <tr>
      <th scope="row">
        {row.working ? <Worked label={row.title} working={row.working} /> : row.title}
        <span class="each">
          <a href={to("record", "run", row.run)}>{moment(row.time)}</a> · {personName(row.person)}
        </span>
      </th>
      <td data-name={t("column-way")}>
        {[row.from.join(" / "), row.to].filter(Boolean).join(" → ") || "–"}
        {row.gyle && (
          <span class="each">
            <a href={to("record", "gyle", row.gyle)}>{t("move-other", { gyle: row.gyle })}</a>
          </span>
        )}
      </td>
      <td data-name={t("column-out")}>{volume(row.out, row.unit)}</td>
      <td data-name={t("column-in")}>{volume(row.in, row.unit)}</td>
      <td data-name={t("column-lost")}>
        {volume(row.loss, row.unit)}
        {row.loss_pct && <Share share={row.loss_pct} />}
      </td>
      <td data-name={t("column-lost-so-far")}>
        {volume(row.lost, row.unit)}
        {row.lost_pct && <Share share={row.lost_pct} />}
      </td>
    </tr>
  );
}

const volume = (value: string | null, unit: string) =>
  value === null ? "–" : <Value value={value} unit={unit} />;

const Share = ({ share }: { readonly share: string }) => <span class="each">{figure(share)} %</span>;
