/** From an address to a screen. */
import type { ComponentType, JSX } from "preact";
import { useEffect, useState } from "preact/hooks";
import { t } from "../messages";
import { route, to } from "../state/route";
import { Page } from "../ui/Page";
import { Home } from "./Home";
import { later } from "./load";
import { Plant } from "./plant/Plant";
import { Vessel } from "./plant/Vessel";
import { LastRun, Run } from "./run/Run";

type Open = (parts: readonly string[]) => JSX.Element;

const SCREENS: Readonly<Record<string, Open>> = {
  plant: () => <Plant />,
  vessel: ([id = ""]) => <Vessel id={id} />,
  start: (parts) => <Later key="start-do" name="start-do" parts={parts} />,
  run: ([id = "", ...parts]) => <Run id={id} parts={parts} />,
  last: () => <LastRun />,
  phone: (parts) => <Later key="phone-title" name="phone-title" parts={parts} />,
  trust: (parts) => <Later key="trust" name="trust" parts={parts} />,
  carry: (parts) => <Later key="carry" name="carry" parts={parts} />,
  record: (parts) => <Later key="record" name="record" parts={parts} />,
  find: (parts) => <Later key="find" name="find" parts={parts} />,
  shift: (parts) => <Later key="shift" name="shift" parts={parts} />,
  sums: (parts) => <Later key="sums" name="sums" parts={parts} />,
};

export function Routed() {
  const [name, ...parts] = route.value;
  if (name === undefined) return <Home />;
  return (SCREENS[name] ?? NotFound)(parts);
}

function NotFound() {
  return (
    <Page title={t("not-found")}>
      <a class="press main" href={to()}>
        {t("home")}
      </a>
    </Page>
  );
}

type Title =
  | "emergency"
  | "record"
  | "sums"
  | "find"
  | "shift"
  | "start-do"
  | "carry"
  | "trust"
  | "phone-title"
  | "enrol-title"
  | "recovered";
type Later = ComponentType<{ readonly parts: readonly string[] }>;

/** What a phone keeps and does not run until it is asked for, by the title under which it loads. */
const LATER: Readonly<Record<Title, () => Promise<Later>>> = {
  record: () => import("./desk/Desk").then(({ openDesk }) => openDesk()),
  find: () => later().then(({ Find }) => Find),
  shift: () => later().then(({ Shift }) => Shift),
  sums: () => later().then(({ Sums }) => Sums),
  "start-do": () => later().then(({ Start }) => Start),
  emergency: () => later().then(({ Emergency }) => Emergency),
  carry: () => later().then(({ Carry }) => Carry),
  trust: () => later().then(({ Trust }) => Trust),
  "phone-title": () => later().then(({ Phone }) => Phone),
  "enrol-title": () => later().then(({ Enrol }) => Enrol),
  recovered: () => later().then(({ Recovered }) => Recovered),
};

type LaterProps = { readonly name: Title; readonly parts?: readonly string[] };

export function Later({ name, parts = [] }: LaterProps) {
  const [screen, setScreen] = useState<{ readonly Loaded: Later } | null>(null);
  useEffect(() => {
    LATER[name]().then(
      (Loaded) => setScreen({ Loaded }),
      (error: unknown) => {
        console.error(error);
        setScreen({ Loaded: () => <Missing name={name} /> });
      },
    );
  }, [name]);
  if (screen) return <screen.Loaded parts={parts} />;
  return <Page title={t(name)} {...backFrom(name)} />;
}

/** From these there is no way back: nothing else can be done. */
const backFrom = (name: Title): { readonly back?: [] } =>
  name === "enrol-title" || name === "recovered" ? {} : { back: [] };

function Missing({ name }: { readonly name: Title }) {
  return (
    <Page title={t(name)} {...backFrom(name)}>
      <p>{t("part-missing")}</p>
    </Page>
  );
}
