/** The first screen of a new phone: a code from the manager's desk, and a name for the phone. */
import { useEffect, useState } from "preact/hooks";
import { device, enrol, isBegun, NoNetwork, Problem } from "../../identity";
import { t } from "../../messages";
import { replace, route, to } from "../../state/route";
import { Page } from "../../ui/Page";
import { TextField } from "../../ui/TextField";
import { Begin } from "./Begin";

/** The 32 letters of Crockford's base 32, which leaves out I, L, O and U. */
const NOT_A_SYMBOL = /[^0-9A-HJKMNP-TV-Z]/g;
const LENGTH = 10;

/** What was typed, as the code it must have meant: case, spaces and hyphens aside, O is 0, I and L are 1. */
export function codeOf(typed: string): string {
  const meant = typed.toUpperCase().replace(/O/g, "0").replace(/[IL]/g, "1");
  return meant.replace(NOT_A_SYMBOL, "").slice(0, LENGTH);
}

/** In two groups of five, as the desk shows it. */
const grouped = (code: string): string => (code.length > 5 ? `${code.slice(0, 5)} ${code.slice(5)}` : code);

/** An iPhone's browser throws a page's records away after a week; an installed app keeps them. */
function mustInstall(): boolean {
  const apple =
    /iPhone|iPad|iPod/.test(navigator.userAgent) ||
    (/Mac/.test(navigator.userAgent) && navigator.maxTouchPoints > 1);
  return apple && !matchMedia("(display-mode: standalone)").matches;
}

export function Enrol() {
  if (!device.value && route.value[0] === "begin") return <Begin />;
  return mustInstall() ? <InstallFirst /> : <CodeForm />;
}

/** The code, when the phone's camera read it off the desk: "#/enrol/<code>". */
function codeInAddress(): string {
  const [name, code = ""] = route.peek();
  return name === "enrol" ? codeOf(code) : "";
}

function InstallFirst() {
  return (
    <Page title={t("install-first")}>
      <p>{t("install-why")}</p>
      <ol class="numbered">
        <li>{t("install-1")}</li>
        <li>{t("install-2")}</li>
        <li>{t("install-3")}</li>
      </ol>
    </Page>
  );
}

function CodeForm() {
  const [code, setCode] = useState(codeInAddress);
  const [name, setName] = useState(device.value?.name ?? "");
  const [busy, setBusy] = useState(false);
  const [wrong, setWrong] = useState("");
  const [begun, setBegun] = useState(true);
  useEffect(() => {
    isBegun().then(setBegun, reportError);
  }, []);

  const submit = async (event: Event) => {
    event.preventDefault();
    if (busy) return;
    if (code.length < LENGTH) return setWrong(t("enrol-short", { length: LENGTH }));
    if (name.trim() === "") return setWrong(t("enrol-nameless"));
    setBusy(true);
    setWrong("");
    try {
      await enrol(code, name.trim());
      if (route.peek()[0] === "enrol") replace();
    } catch (error) {
      setWrong(said(error));
      setBusy(false);
    }
  };

  return (
    <form onSubmit={(event) => void submit(event)} noValidate>
      <Page
        title={t("enrol-title")}
        {...(device.value ? { back: ["phone"] } : {})}
        dock={
          <button type="submit" class="press main" aria-disabled={busy}>
            {busy ? t("enrol-busy") : t("enrol-do")}
          </button>
        }
      >
        {!begun && (
          <p>
            {t("enrol-no-brewery")} <a href={to("begin")}>{t("begin-title")}</a>
          </p>
        )}
        <p>{t("enrol-lead")}</p>
        <TextField
          label={t("enrol-code")}
          help={t("enrol-code-help")}
          value={grouped(code)}
          onValue={(typed) => setCode(codeOf(typed))}
          mono
        />
        <TextField
          label={t("enrol-name")}
          help={t("enrol-name-help")}
          value={name}
          onValue={setName}
          longest={60}
        />
        {wrong && (
          <p class="wrong" role="alert">
            {wrong}
          </p>
        )}
      </Page>
    </form>
  );
}

function said(error: unknown): string {
  if (error instanceof NoNetwork) return t("enrol-unreachable");
  if (!(error instanceof Problem)) {
    console.error(error);
    return t("mishap");
  }
  if (error.kind === "code-invalid") return t("enrol-code-wrong");
  if (error.kind === "rate-limited") return t("enrol-too-many");
  return error.detail || t("enrol-refused");
}
