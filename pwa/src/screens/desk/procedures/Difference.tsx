/** What changed between two versions, a row each: where, what it was, what it is. */
import { t } from "../../../messages";
import { Heads } from "../Heads";
import type { Change } from "./answers";

export function Difference({ rows }: { readonly rows: readonly Change[] }) {
  if (rows.length === 0) return <p>{t("difference-none")}</p>;
  return (
    <table class="difference">
      <Heads of={[t("difference-where"), t("difference-before"), t("difference-after")]} />
      <tbody>
        {rows.map((row, at) => (
          <tr key={at} data-kind={row.kind}>
            <th scope="row">
              <span class="difference-kind">{t(`difference-${row.kind}`)}</span> {row.where}
            </th>
            <td>
              {row.before && (
                <>
                  <span class="difference-side">{t("difference-before")} </span>
                  <del>{row.before}</del>
                </>
              )}
            </td>
            <td>
              {row.after && (
                <>
                  <span class="difference-side">{t("difference-after")} </span>
                  <ins>{row.after}</ins>
                </>
              )}
            </td>
          </tr>
        ))}
      </tbody>
    </table>
  );
}
