/** A verdict: its word, its shape, its colour, and what to do. */
import { t } from "../messages";
import type { Verdict as Kind } from "../state/view";
import { VerdictShape } from "./Shape";

type Props = {
  readonly verdict: Kind;
  readonly advice?: string;
  readonly limit?: string;
  readonly source?: string;
};

export function Verdict({ verdict, advice = "", limit = "", source = "" }: Props) {
  return (
    <div class="verdict" data-verdict={verdict}>
      <p class="verdict-word">
        <VerdictShape verdict={verdict} />
        {t(`verdict-${verdict}`)}
      </p>
      {advice && <p>{advice}</p>}
      <Limit limit={limit} source={verdict === "target" ? "" : source} />
    </div>
  );
}

/** The band a reading should be in, and where that comes from. */
export function Limit({ limit, source = "" }: { readonly limit: string; readonly source?: string }) {
  if (!limit) return null;
  return (
    <p class="limit">
      {t("limit", { limit })}
      {source && <span class="source"> {t("limit-source", { source })}</span>}
    </p>
  );
}

/** The verdict as a word and shape alone, beside a value in a list. */
export function VerdictWord({ verdict }: { readonly verdict: Kind }) {
  return (
    <span class="verdict-word" data-verdict={verdict}>
      <VerdictShape verdict={verdict} />
      {t(`verdict-${verdict}`)}
    </span>
  );
}
