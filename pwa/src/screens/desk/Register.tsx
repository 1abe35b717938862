/** The register: every run the office knows, cleaning first, with what calls for a look. */
import { runs as fetchRuns, type RunPage, type RunSummary } from "../../api";
import { t } from "../../messages";
import { replace, to } from "../../state/route";
import { useAsked } from "./asked";
import { DeskPage } from "./DeskPage";
import { type Choice, choiceOf, filtersOf, MOST_SHOWN, PAGE, partsOf } from "./register/choice";
import { Filters } from "./register/Filters";
import { Table } from "./register/Table";
import { Views } from "./register/Views";

/** The most that the office gives at once. */
const AT_ONCE = 200;

type Found = {
  readonly rows: readonly RunSummary[];
  readonly more: boolean;
  readonly total: number;
  readonly held: number;
  readonly behind: number;
};

/** As many rows as are wanted, and how many there are of what is asked for. */
async function gather(choice: Choice): Promise<Found> {
  const rows: RunSummary[] = [];
  let page: RunPage;
  let after: string | null = null;
  do {
    const limit = Math.min(AT_ONCE, choice.shown - rows.length);
    page = await fetchRuns({ ...filtersOf(choice), limit, ...(after === null ? {} : { after }) });
    rows.push(...page.runs);
    after = page.next;
  } while (after !== null && rows.length < choice.shown);
  const { total = rows.length, held = rows.length, behind = 0 } = page;
  return { rows, more: after !== null, total, held, behind };
}

export function Register({ parts }: { readonly parts: readonly string[] }) {
  const choice = choiceOf(parts);
  const { answer, wrong, again, behind } = useAsked(() => gather(choice), JSON.stringify(choice));
  const change = (part: Partial<Choice>) =>
    replace("record", "register", ...partsOf({ ...choice, shown: PAGE, ...part }));
  const rows = answer?.rows ?? [];
  return (
    <DeskPage title={t("desk-register")} wrong={wrong} again={again} behind={behind}>
      <Filters choice={choice} change={change} />
      <Views parts={partsOf({ ...choice, shown: PAGE })} />
      <p role="status" class="whose">
        {answer && t("register-count", { shown: rows.length, total: answer.total, held: answer.held })}
      </p>
      {answer && rows.length === 0 && <p>{t("register-none")}</p>}
      {partsOf(choice).length > 0 && <a href={to("record", "register")}>{t("register-usual")}</a>}
      {rows.length > 0 && <Table rows={rows} />}
      {answer?.more && <More shown={choice.shown} show={(shown) => change({ shown })} />}
    </DeskPage>
  );
}

function More({ shown, show }: { readonly shown: number; readonly show: (rows: number) => void }) {
  if (shown >= MOST_SHOWN) return <p>{t("register-narrow")}</p>;
  return (
    <button type="button" class="press small" onClick={() => show(shown + PAGE)}>
      {t("register-more")}
    </button>
  );
}
