/** From an address to a screen. */
import type { ComponentType, JSX } from "preact";
import { useEffect, useState } from "preact/hooks";
import { t } from "../messages";
import { route, to } from "../state/route";
import { Page } from "../ui/Page";
import { Home } from "./Home";
import { Carry } from "./phone/Carry";
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
  carry: ([run]) => <Carry run={run ?? null} />,
  record: (parts) => <Desk parts={parts} />,
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

type DeskScreen = ComponentType<{ readonly parts: readonly string[] }>;

/** The desk's screens come when they are asked for; a phone at a vessel keeps them but does not run them. */
function Desk({ parts }: { readonly parts: readonly string[] }) {
  const [screen, setScreen] = useState<{ readonly Loaded: DeskScreen } | null>(null);
  useEffect(() => {
    import("./desk/Desk")
      .then(({ openDesk }) => openDesk())
      .then(
        (Loaded) => setScreen({ Loaded }),
        (error: unknown) => {
          console.error(error);
          setScreen({ Loaded: DeskMissing });
        },
      );
  }, []);
  return screen ? <screen.Loaded parts={parts} /> : <Page title={t("record")} back={[]} />;
}

function DeskMissing() {
  return (
    <Page title={t("record")} back={[]}>
      <p>{t("record-missing")}</p>
    </Page>
  );
}
