/** Before a run is opened: what it is for, and the figures it needs, filled in where the vessel's card has them. */
import { useEffect, useState } from "preact/hooks";
import { t } from "../../messages";
import type { Refused } from "../../state/act";
import { board, lines } from "../../state/board";
import { sheetOf } from "../../state/brewing";
import { procedure as newest, recipeCard, recipeCards, vesselCard, vesselName } from "../../state/known";
import { replace } from "../../state/route";
import { start } from "../../state/start";
import type { Input, Procedure, RecipeVersion } from "../../state/view";
import { Page } from "../../ui/Page";
import { Select } from "../../ui/Select";
import { TextField } from "../../ui/TextField";

type Props = { readonly procedure: string; readonly vessel: string | null };

export function Start({ procedure, vessel }: Props) {
  const held = newest(procedure);
  const back = vessel ? (["vessel", vessel] as const) : (["plant"] as const);
  if (!held) return <Page title={t("not-found")} back={back} />;
  return <Opening key={`${procedure} ${vessel}`} held={held} vessel={vessel} />;
}

type Card = Readonly<Record<string, unknown>>;

/** What an input is filled with: the figure of the card it comes from, else the procedure's default. */
function prefilled(input: Input, cards: Readonly<Record<string, Card | undefined>>): string {
  const [source = "", name = ""] = input.from?.split(".") ?? [];
  const own = cards[source]?.[name];
  return typeof own === "string" || typeof own === "number" ? String(own) : (input.default ?? "");
}

const isFromRecipe = (input: Input): boolean => /^(recipe|sheet)\./.test(input.from ?? "");

/** The recipe and its brew sheet by line, which the core works out here, with or without a signal. */
async function cardsOf(recipe: Card): Promise<Readonly<Record<string, Card>>> {
  const { lines: worked } = await sheetOf(recipe);
  return { recipe, sheet: Object.fromEntries(worked.map((line) => [line.id, line.value])) };
}

/** The recipe version this gyle was begun with, as far as this phone knows. */
const brewedBy = (gyle: string): RecipeVersion | null =>
  lines.peek().findLast((line) => line.gyle === gyle && line.recipe)?.recipe ?? null;

/** A gyle's number as records carry it: "G 312" is "g-312". */
const gyleId = (typed: string): string =>
  typed
    .trim()
    .toLowerCase()
    .replace(/[^a-z0-9]+/g, "-")
    .replace(/^-|-$/g, "");

function Opening({ held, vessel }: { readonly held: Procedure; readonly vessel: string | null }) {
  const inputs = held.inputs ?? [];
  const [recipe, setRecipe] = useState<RecipeVersion | null>(null);
  const [values, setValues] = useState<Readonly<Record<string, string>>>(() =>
    Object.fromEntries(inputs.map((input) => [input.id, prefilled(input, { vessel: vesselCard(vessel) })])),
  );
  const [gyle, setGyle] = useState(() => board.peek()?.find((row) => row.id === vessel)?.gyle ?? "");
  const [working, setWorking] = useState(false);
  const brew = async (id: string) => {
    const begun = brewedBy(gyleId(gyle));
    const card = recipeCard(id, begun?.id === id ? begun.version : undefined) ?? recipeCard(id);
    setRecipe(card ? { id, version: card.version ?? 0 } : null);
    setWorking(true); // a start before the figures are there would miss them
    const asked = card ? cardsOf(card) : Promise.resolve<Readonly<Record<string, Card>>>({});
    const cards = await asked.finally(() => setWorking(false));
    const figures = inputs.filter(isFromRecipe).map((input) => [input.id, prefilled(input, cards)]);
    setValues((now) => ({ ...now, ...Object.fromEntries(figures) }));
  };
  useEffect(() => {
    const begun = brewedBy(gyleId(gyle));
    if (begun && begun.id !== recipe?.id && inputs.some(isFromRecipe)) brew(begun.id).catch(reportError);
  }, [gyle]);
  const [refused, setRefused] = useState<Refused | null>(null);
  const submit = async (event: Event) => {
    event.preventDefault();
    const opened = await start({
      procedure: held,
      vessel,
      gyle: gyleId(gyle) || null,
      inputs: values,
      ...(recipe?.version ? { recipe } : {}),
    });
    if (opened.ok) replace("run", opened.run);
    else setRefused(opened);
  };
  return (
    <form onSubmit={(event) => void submit(event)}>
      <Page
        title={held.title}
        back={vessel ? ["vessel", vessel] : ["plant"]}
        {...(vessel ? { over: vesselName(vessel) } : {})}
        dock={
          <>
            {refused && (
              <p class="refused" role="alert">
                {refused.text}
              </p>
            )}
            <button type="submit" class="press main" disabled={working}>
              {t("start-do")}
            </button>
          </>
        }
      >
        {held.summary && <p>{held.summary}</p>}
        <p class="whose">{t("start-steps", { count: held.steps.length, version: held.version })}</p>
        {inputs.some(isFromRecipe) && recipeCards().length > 0 && (
          <Select
            label={t("start-recipe")}
            none={t("start-recipe-none")}
            value={recipe?.id ?? ""}
            onValue={(id) => void brew(id).catch(reportError)}
            options={recipeCards()}
          />
        )}
        {inputs.map((input) => (
          <TextField
            key={input.id}
            label={input.unit ? `${input.label} (${input.unit})` : input.label}
            value={values[input.id] ?? ""}
            onValue={(value) => setValues({ ...values, [input.id]: value })}
            numeric={input.kind === "reading"}
          />
        ))}
        {held.kind !== "cleaning" && held.kind !== "brewery" && (
          <TextField
            label={t("start-gyle")}
            help={t("start-gyle-help")}
            value={gyle}
            onValue={setGyle}
            mono
            longest={64}
          />
        )}
      </Page>
    </form>
  );
}
