/** One recipe: a manager's form with the sheet beside it as they type; for everyone else the sheet. */
import { useEffect, useState } from "preact/hooks";
import { current } from "../../../identity";
import { t } from "../../../messages";
import { type Draft, type Form, recipeForm, type Sheet, sheetOf } from "../../../state/brewing";
import { recipeCard } from "../../../state/known";
import { replace } from "../../../state/route";
import { syncNow } from "../../../sync";
import { said } from "../asked";
import { DeskPage } from "../DeskPage";
import { shortName } from "../shortname";
import { keepRecipe } from "./answers";
import { RecipeForm } from "./RecipeForm";
import { SheetTable } from "./SheetTable";

type Props = { readonly id: string | null };

/** What is edited: the newest version, counted on, or an empty form with what is usual. */
function draftOf(id: string | null, form: Form): Draft {
  const held = id === null ? undefined : recipeCard(id);
  if (held) return { ...held, version: held.version + 1 };
  const usual = form.groups.flatMap((group) => group.fields).map((field) => [field.id, field.default ?? ""]);
  return { ...Object.fromEntries(usual), id: id ?? "", version: 1, grist: [{}], hops: [] };
}

export function Recipe({ id }: Props) {
  const [form, setForm] = useState<Form | null>(null);
  useEffect(() => void recipeForm().then(setForm, reportError), []);
  const manager = current.value?.role === "manager";
  const held = id === null ? undefined : recipeCard(id);
  if (id !== null && !held) return <DeskPage title={t("not-found")} />;
  const title = held?.name ?? t("recipe-new");
  if (!form) return <DeskPage title={title} />;
  return <Edited key={id ?? ""} title={title} first={draftOf(id, form)} form={form} manager={manager} />;
}

type EditedProps = {
  readonly title: string;
  readonly first: Draft;
  readonly form: Form;
  readonly manager: boolean;
};

function Edited({ title, first, form, manager }: EditedProps) {
  const [draft, setDraft] = useState(first);
  const [tried, setTried] = useState(false);
  const [touched, setTouched] = useState<ReadonlySet<string>>(new Set());
  const [wrong, setWrong] = useState<string | null>(null);
  const sheet = useSheet(draft);
  const change = (part: Partial<Draft>, field: string) => {
    const next = { ...draft, ...part } as Draft;
    setDraft(first.version === 1 ? { ...next, id: shortName(String(next.name ?? "")) } : next);
    setTouched(new Set([...touched, field]));
    setWrong(null);
  };
  const faults = new Map(
    (sheet?.faults ?? [])
      .filter((fault) => tried || touched.has(fault.field) || ofShares(fault.field, draft, touched))
      .map((fault) => [fault.field, fault.text]),
  );
  const keep = async (event: Event) => {
    event.preventDefault();
    setTried(true);
    const worked = await sheetOf(draft);
    if (worked.faults.length > 0) return setWrong(t("recipe-faults", { count: worked.faults.length }));
    try {
      await keepRecipe(draft);
      await syncNow();
      replace("record", "recipes");
    } catch (error) {
      setWrong(said(error));
    }
  };
  return (
    <DeskPage title={title} over={t("recipe-next", { version: draft.version, manager: String(manager) })}>
      <div class={manager ? "recipe-beside" : undefined}>
        {manager && (
          <form class="recipe" onSubmit={(event) => void keep(event)} noValidate>
            <RecipeForm form={form} draft={draft} faults={faults} change={change} />
            {wrong && (
              <p class="refused" role="alert">
                {wrong}
              </p>
            )}
            <button type="submit" class="press main">
              {t("recipe-keep", { version: draft.version })}
            </button>
          </form>
        )}
        <div>
          <h2>{t("brew-sheet")}</h2>
          {sheet && <SheetTable sheet={sheet} />}
          <p class="record-foot">
            <button type="button" class="press small" onClick={() => print()}>
              {t("sheet-print")}
            </button>
          </p>
        </div>
      </div>
    </DeskPage>
  );
}

/** What the shares of a table make stands at its first one, and is told once one of them is keyed or taken out. */
function ofShares(field: string, draft: Draft, touched: ReadonlySet<string>): boolean {
  const [table = "", at, column] = field.split(".");
  if ((table !== "grist" && table !== "hops") || column !== "share_pct") return false;
  const keyed = (one: string) => one === table || (one.startsWith(`${table}.`) && one.endsWith(".share_pct"));
  const row = draft[table].find((_, place) => String(place) === at);
  return Boolean(row?.share_pct) && [...touched].some(keyed);
}

/** The sheet of the draft as it stands; an answer that a later change has overtaken is let go. */
function useSheet(draft: Draft): Sheet | null {
  const [sheet, setSheet] = useState<Sheet | null>(null);
  useEffect(() => {
    let stale = false;
    sheetOf(draft).then((worked) => !stale && setSheet(worked), reportError);
    return () => {
      stale = true;
    };
  }, [draft]);
  return sheet;
}
