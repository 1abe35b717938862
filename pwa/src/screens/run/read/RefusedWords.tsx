/** Why something cannot be done yet, and where to go to put it right. */
import { t } from "../../../messages";
import type { Refused } from "../../../state/act";
import { to } from "../../../state/route";
import type { Session } from "../../../state/run";
import type { Wait } from "../../../state/view";

type Reason = Omit<Wait, "code"> & { readonly code: string };

export function RefusedWords({ run, refused }: { readonly run: Session; readonly refused: Refused }) {
  const reasons: readonly Reason[] =
    refused.waits.length > 0 ? refused.waits : [{ code: refused.code, text: refused.text }];
  return (
    <div class="refused" role="alert">
      <p class="refused-head">{t("refused")}</p>
      <ul>
        {reasons.map((wait) => (
          <li key={`${wait.code} ${wait.text}`}>
            {wait.step && !wait.interlock ? (
              <a href={to("run", run.id, "step", wait.step)}>{wait.text}</a>
            ) : (
              wait.text
            )}
            {wait.do?.map((line) => (
              <p key={line}>{line}</p>
            ))}
          </li>
        ))}
      </ul>
    </div>
  );
}
