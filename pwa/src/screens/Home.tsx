/** Three things to press, one for each kind of user, and what is running now. */
import { current, signOut } from "../identity";
import { t } from "../messages";
import { openLines } from "../state/board";
import { choose, type Mode } from "../state/mode";
import { go, to } from "../state/route";
import { Page } from "../ui/Page";
import { useLater } from "./load";
import { Faults } from "./now/Faults";
import { RunLink } from "./now/RunLink";

export function Home() {
  const person = current.value;
  const parts = useLater();
  return (
    <Page title={t("product")}>
      <Faults />
      {openLines.value.length > 0 && (
        <section>
          <h2>{t("home-running")}</h2>
          <ul class="run-links">
            {openLines.value.map((line) => (
              <li key={line.id}>
                <RunLink line={line} />
              </li>
            ))}
          </ul>
        </section>
      )}
      <ul class="doors">
        <li>
          <Door name="work" mode="steps" />
        </li>
        <li>
          <Door name="walk" mode="walk" />
        </li>
        <li>
          <a class="door" href={to("record")}>
            <span class="door-name">{t("door-record")}</span>
            <span>{t("door-record-what")}</span>
          </a>
        </li>
      </ul>
      {parts && <parts.DueNow />}
      <a class="press" href={to("find")}>
        {t("find")}
      </a>
      <a class="press" href={to("sums")}>
        {t("sums")}
      </a>
      <a class="press" href={to("shift")}>
        {t("shift")}
      </a>
      {person && (
        <p class="who">
          <span>{t("home-who", { name: person.name, role: t(`role-${person.role}`) })}</span>
          <button type="button" class="press small" onClick={() => void signOut()}>
            {t("sign-out")}
          </button>
        </p>
      )}
    </Page>
  );
}

function Door({ name, mode }: { readonly name: "work" | "walk"; readonly mode: Mode }) {
  const open = () => {
    choose(mode);
    go("plant");
  };
  return (
    <button type="button" class="door" onClick={open}>
      <span class="door-name">{t(`door-${name}`)}</span>
      <span>{t(`door-${name}-what`)}</span>
    </button>
  );
}
