/** The first screen of a server with no brewery yet: its name and its manager, by the code the server printed. */
import { useState } from "preact/hooks";
import { begin, NoNetwork, Problem } from "../../identity";
import { t } from "../../messages";
import { replace, route } from "../../state/route";
import { Page } from "../../ui/Page";
import { TextField } from "../../ui/TextField";

const EMPTY = { name: "", manager: "", pin: "", password: "" };
const FIELDS = ["name", "manager", "pin", "password"] as const;

export function Begin() {
  const [code, setCode] = useState(route.peek()[1] ?? "");
  const [draft, setDraft] = useState(EMPTY);
  const [busy, setBusy] = useState(false);
  const [wrong, setWrong] = useState("");

  const submit = async (event: Event) => {
    event.preventDefault();
    if (busy) return;
    const lacking = FIELDS.find((field) => draft[field].trim() === "");
    if (lacking) return setWrong(t("begin-lacking", { field: t(`begin-${lacking}`) }));
    setBusy(true);
    setWrong("");
    try {
      await begin({ ...draft, code, device: t("begin-desk") });
      replace("record", "set-up");
    } catch (error) {
      setWrong(said(error));
      setBusy(false);
    }
  };

  return (
    <form onSubmit={(event) => void submit(event)} noValidate>
      <Page
        title={t("begin-title")}
        dock={
          <button type="submit" class="press main" aria-disabled={busy}>
            {busy ? t("enrol-busy") : t("begin-do")}
          </button>
        }
      >
        <p>{t("begin-lead")}</p>
        <TextField label={t("enrol-code")} help={t("begin-code-help")} value={code} onValue={setCode} mono />
        {FIELDS.map((field) => (
          <TextField
            key={field}
            label={t(`begin-${field}`)}
            {...(field === "pin" || field === "password" ? { help: t(`begin-${field}-help`) } : {})}
            value={draft[field]}
            onValue={(value) => setDraft({ ...draft, [field]: value })}
            longest={field === "password" ? 1000 : 64}
            numeric={field === "pin"}
          />
        ))}
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
  if (error.kind === "code-invalid") return t("begin-code-wrong");
  if (error.kind === "rate-limited") return t("enrol-too-many");
  return error.detail || t("enrol-refused");
}
