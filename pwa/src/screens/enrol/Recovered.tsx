/** A phone whose storage was lost, and which its journal has given back: what happened, and going on with no signal. */
import { useEffect, useState } from "preact/hooks";
import { goOnAs, people } from "../../identity";
import { t } from "../../messages";
import { type Lost, lost } from "../../state/lost";
import { to } from "../../state/route";
import { Page } from "../../ui/Page";
import { moment } from "../../ui/time";
import { RunningHolds } from "../now/RunningHolds";
import { People } from "../who/People";

export function Recovered() {
  const known = people().filter(({ role }) => role !== "manager");
  return (
    <Page
      title={t("recovered")}
      dock={
        <a class="press main" href={to("enrol")}>
          {t("recovered-enrol")}
        </a>
      }
    >
      <WasLost />
      <RunningHolds />
      <h2>{t("recovered-on")}</h2>
      <p>{t(known.length > 0 ? "recovered-who" : "recovered-nobody")}</p>
      <People people={known} pick={(person) => void goOnAs(person).catch(reportError)} />
    </Page>
  );
}

/** What was lost and what came back; nothing where nothing was. */
export function WasLost() {
  const [said, setSaid] = useState<Lost | null>(null);
  useEffect(() => {
    lost().then(setSaid, reportError);
  }, []);
  if (!said) return null;
  return (
    <section class="panel">
      <p>{t("recovered-what", { time: moment(said.at), count: said.records })}</p>
      {said.torn > 0 && <p>{t("recovered-torn", { count: said.torn })}</p>}
      <p>{t("recovered-office")}</p>
    </section>
  );
}
