/** Before a run is opened: what it is for, and the figures it needs, filled in where the vessel's card has them. */
import { useEffect, useState } from "preact/hooks";
import { t } from "../../messages";
import { answerTo, type Refused } from "../../state/act";
import { board, lines } from "../../state/board";
import { sheetOf } from "../../state/brewing";
import {
  procedure as newest,
  personName,
  recipeCard,
  recipeCards,
  vesselCard,
  vesselName,
} from "../../state/known";
import { proposed } from "../../state/proposals";
import { replace, to } from "../../state/route";
import { start } from "../../state/start";
import type { Input, Procedure, RecipeVersion, RunLine } from "../../state/view";
import { Page } from "../../ui/Page";
import { Select } from "../../ui/Select";
import { TextField } from "../../ui/TextField";
import { moment } from "../../ui/time";
import { Progress } from "../now/RunLink";

/** At the address of the procedure, and of the vessel it is begun on. */
export function Start({ parts }: { readonly parts: readonly string[] }) {
  const [procedure = "", at] = parts;
  const vessel = at ?? null;
  const held = newest(procedure);
  const back = vessel ? (["vessel", vessel] as const) : (["plant"] as const);
  if (!held) return <Page title={t("not-found")} back={back} />;
  return <Asked key={`${procedure} ${vessel}`} held={held} vessel={vessel} />;
}

type About = { readonly held: Procedure; readonly vessel: string | null };

/** The open run alike on this vessel, as the core judges it: a second one is asked about first. */
async function runAlike({ held, vessel }: About): Promise<RunLine | undefined> {
  const run = vessel === null ? null : (await proposed(vessel, [held]))[0]?.run;
  return lines.peek().find((line) => line.id === run);
}

function Asked(about: About) {
  const [alike, setAlike] = useState<RunLine | null>(null);
  const [asked, setAsked] = useState(false);
  const [sure, setSure] = useState(false);
  const ask = async () => {
    const found = sure ? undefined : await runAlike(about);
    setAlike(found ?? null);
    return found !== undefined;
  };
  // once the board is there, and again before the run is opened: no screen is changed under a finger between
  useEffect(() => {
    void ask()
      .catch(reportError)
      .finally(() => setAsked(true));
  }, [alike ? board.value : board.value === null]);
  if (alike && !sure) return <Alike {...about} line={alike} second={() => setSure(true)} />;
  return <Opening {...about} first={ask} ready={asked} />;
}

/** Two runs of a kind on one vessel are seldom meant: who runs the other, and the way into it. */
function Alike({
  held,
  vessel,
  line,
  second,
}: About & { readonly line: RunLine; readonly second: () => void }) {
  return (
    <Page
      title={t("alike-title", { vessel: vesselName(vessel) })}
      over={held.title}
      back={vessel ? ["vessel", vessel] : ["plant"]}
      dock={
        <>
          <a class="press main" href={to("run", line.id)}>
            {t("alike-join")}
          </a>
          <button type="button" class="press" onClick={second}>
            {t("alike-second")}
          </button>
        </>
      }
    >
      <section class="run-link">
        <h2 class="run-link-name">{line.title}</h2>
        {line.opened && (
          <span>
            {t("alike-by", { person: personName(line.opened.person), time: moment(line.opened.time) })}
          </span>
        )}
        <Progress line={line} />
      </section>
      <p>{t("alike-why")}</p>
    </Page>
  );
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

const packages = ({ steps }: Procedure): boolean =>
  steps.some(({ asks }) => asks?.some(({ interlock }) => interlock === "package"));

/** Which beer is packaged: what lies in the bright tanks, as presses. */
function Tanks({ gyle, pick }: { readonly gyle: string; readonly pick: (gyle: string) => void }) {
  const tanks = (board.value ?? []).filter((row) => row.kind === "bright" && row.gyle);
  if (tanks.length === 0) return null;
  return (
    <fieldset class="options">
      <legend>{t("start-tank")}</legend>
      {tanks.map((row) => (
        <button
          type="button"
          key={row.id}
          class="option"
          aria-pressed={gyle === row.gyle}
          onClick={() => pick(row.gyle ?? "")}
        >
          <span class="option-mark" aria-hidden="true" />
          {t("start-tank-gyle", { tank: row.name, gyle: row.gyle ?? "" })}
        </button>
      ))}
    </fieldset>
  );
}

/** `first` is asked before the run is opened, and answers whether it asks the person something else instead. */
function Opening({
  held,
  vessel,
  first,
  ready,
}: About & { readonly first: () => Promise<boolean>; readonly ready: boolean }) {
  const inputs = held.inputs ?? [];
  const [recipe, setRecipe] = useState<RecipeVersion | null>(null);
  const [values, setValues] = useState<Readonly<Record<string, string>>>(() =>
    Object.fromEntries(inputs.map((input) => [input.id, prefilled(input, { vessel: vesselCard(vessel) })])),
  );
  // what lies in the vessel, also where the board comes after this screen, until another is named
  const [named, setGyle] = useState<string | null>(null);
  const gyle = named ?? board.value?.find((row) => row.id === vessel)?.gyle ?? "";
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
    if (working) return;
    setWorking(true); // a second press meanwhile would open a second run
    try {
      if (!(await first())) await open();
    } catch (error) {
      setRefused(answerTo(error));
    } finally {
      setWorking(false);
    }
  };
  const open = async () => {
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
            <button type="submit" class="press main" disabled={working || !ready}>
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
        {packages(held) && <Tanks gyle={gyleId(gyle)} pick={setGyle} />}
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
