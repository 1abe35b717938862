/** The manager's desk: what calls for attention, the register, the phones. Loaded only when it is asked for. */
import type { ComponentType, JSX } from "preact";
import { current } from "../../identity";
import { speakMore, t } from "../../messages";
import english from "../../messages/en.desk.ftl?raw";
import instruments from "../../messages/en.instruments.ftl?raw";
import { to } from "../../state/route";
import { Administration } from "./Administration";
import { Figures } from "./brew/Figures";
import { GylePage } from "./brew/GylePage";
import { Gyles } from "./brew/Gyles";
import { Recipe } from "./brew/Recipe";
import { Recipes } from "./brew/Recipes";
import { Cleanings } from "./cleanings/Cleanings";
import { DeskPage } from "./DeskPage";
import { Devices } from "./Devices";
import { Deviations } from "./deviations/Deviations";
import { Instrument } from "./Instrument";
import { Instruments } from "./Instruments";
import { Labels } from "./labels/Labels";
import { NewPerson, People } from "./people/People";
import { Person } from "./people/Person";
import { Edit } from "./procedures/Edit";
import { Procedure } from "./procedures/Procedure";
import { Procedures } from "./procedures/Procedures";
import { Quarantine } from "./Quarantine";
import { Record } from "./Record";
import { Register } from "./Register";
import { SetUp } from "./SetUp";
import { Queue } from "./today/Queue";
import { Today } from "./today/Today";
import { Vessel } from "./vessels/Vessel";
import { Vessels } from "./vessels/Vessels";
import "../../ui/styles/desk.css";
import "../../ui/styles/deviations.css";
import "../../ui/styles/staff.css";
import "../../ui/styles/today.css";
import "../../ui/styles/brew.css";
import "../../ui/styles/labels.css";
import "../../ui/styles/paper.css";
import "../../ui/styles/procedure-form.css";
import "../../ui/styles/procedures.css";

type DeskScreen = ComponentType<{ readonly parts: readonly string[] }>;

export async function openDesk(): Promise<DeskScreen> {
  await Promise.all([speakMore("desk", english), speakMore("instruments", instruments)]);
  return Desk;
}

const SCREENS: Readonly<Record<string, (parts: readonly string[]) => JSX.Element>> = {
  today: () => <Today />,
  "set-up": () => <SetUp />,
  // what it was called before: an address that somebody kept
  needs: () => <Today />,
  queue: ([of = "", id]) => <Queue key={of} of={of} {...(id ? { id } : {})} />,
  deviations: ([vessel]) => <Deviations key={vessel} {...(vessel ? { vessel } : {})} />,
  cleanings: () => <Cleanings />,
  register: (parts) => <Register parts={parts} />,
  run: ([id = ""]) => <Record id={id} />,
  gyles: () => <Gyles />,
  gyle: ([id = ""]) => <GylePage key={id} id={id} />,
  recipes: () => <Recipes />,
  recipe: ([id = ""]) => <Recipe id={id} />,
  "recipe-new": () => <Recipe id={null} />,
  procedures: () => <Procedures />,
  procedure: ([id = ""]) => <Procedure key={id} id={id} />,
  "procedure-edit": ([id = "", part]) => <Edit key={id} id={id} part={part} />,
  figures: ([of]) => <Figures key={of} of={of} />,
  instruments: () => <Instruments />,
  instrument: ([id = ""]) => <Instrument key={id} id={id} />,
  vessels: () => <Vessels />,
  vessel: ([id = ""]) => <Vessel key={id} id={id} />,
  people: () => <People />,
  person: ([id = ""]) => <Person key={id} id={id} />,
  "person-new": () => <NewPerson />,
  labels: () => <Labels />,
  devices: () => <Devices />,
  administration: () => <Administration />,
  quarantine: () => <Quarantine />,
};
/** What a manager's session opens; the register and the records are for everyone here. */
const TABS: readonly { readonly name: string; readonly manager: boolean }[] = [
  { name: "today", manager: true },
  { name: "deviations", manager: true },
  { name: "cleanings", manager: true },
  { name: "register", manager: false },
  { name: "gyles", manager: false },
  { name: "recipes", manager: false },
  { name: "procedures", manager: true },
  { name: "instruments", manager: false },
  { name: "set-up", manager: true },
  { name: "administration", manager: true },
  { name: "quarantine", manager: true },
];

/** Under which tab a screen stands that has none of its own. */
const HOMES: Readonly<Record<string, string>> = {
  needs: "today",
  queue: "today",
  figures: "set-up",
  vessels: "set-up",
  vessel: "set-up",
  people: "set-up",
  person: "set-up",
  "person-new": "set-up",
  labels: "set-up",
  devices: "set-up",
};

function Desk({ parts }: { readonly parts: readonly string[] }) {
  const manager = current.value?.role === "manager";
  const [name = manager ? "today" : "register", ...rest] = parts;
  const tabs = TABS.filter((tab) => manager || !tab.manager);
  return (
    <div class="desk">
      <nav class="desk-nav" aria-label={t("desk")}>
        <a href={to()}>{t("home")}</a>
        {tabs.map((tab) => (
          <a
            key={tab.name}
            href={to("record", tab.name)}
            aria-current={
              tab.name === (HOMES[name] ?? name) || tab.name === `${name.replace("-edit", "")}s`
                ? "page"
                : undefined
            }
          >
            {t(`desk-${tab.name}`)}
          </a>
        ))}
        <a href={to("trust")}>{t("desk-trust")}</a>
      </nav>
      {SCREENS[name]?.(rest) ?? <DeskPage title={t("not-found")} />}
    </div>
  );
}
