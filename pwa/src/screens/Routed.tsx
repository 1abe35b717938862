/** From an address to a screen. */
import type { ComponentType, JSX } from "preact";
import { useEffect, useState } from "preact/hooks";
import { t } from "../messages";
import { route, to } from "../state/route";
import { Page } from "../ui/Page";
import { Home } from "./Home";
import { later } from "./load";
import { Phone } from "./phone/Phone";
import { Plant } from "./plant/Plant";
import { Start } from "./plant/Start";
import { Vessel } from "./plant/Vessel";
import { LastRun, Run } from "./run/Run";

type Open = (parts: readonly string[]) => JSX.Element;

const SCREENS: Readonly<Record<string, Open>> = {
  plant: () => <Plant />,
  vessel: ([id = ""]) => <Vessel id={id} />,
  start: ([procedure = "", vessel]) => <Start procedure={procedure} vessel={vessel ?? null} />,
  run: ([id = "", ...parts]) => <Run id={id} parts={parts} />,
  last: () => <LastRun />,
  phone: () => <Phone />,
  trust: (parts) => <Later key="trust" name="trust" parts={parts} />,
  carry: (parts) => <Later key="carry" name="carry" parts={parts} />,
  record: (parts) => <Later key="record" name="record" parts={parts} />,
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

type Later = ComponentType<{ readonly parts: readonly string[] }>;

/** What a phone keeps and does not run until it is asked for: the desk, the sums, records carried by hand. */
const LATER: Readonly<Record<"record" | "sums" | "carry" | "trust", () => Promise<Later>>> = {
  record: () => import("./desk/Desk").then(({ openDesk }) => openDesk()),
  sums: () => later().then(({ Sums }) => Sums),
  carry: () => later().then(({ Carry }) => Carry),
  trust: () => later().then(({ Trust }) => Trust),
};

type LaterProps = { readonly name: keyof typeof LATER; readonly parts: readonly string[] };

function Later({ name, parts }: LaterProps) {
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
  return screen ? <screen.Loaded parts={parts} /> : <Page title={t(name)} back={[]} />;
}

function Missing({ name }: { readonly name: keyof typeof LATER }) {
  return (
    <Page title={t(name)} back={[]}>
      <p>{t("part-missing")}</p>
    </Page>
  );
}
