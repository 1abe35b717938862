/** Every procedure of the site by kind, the drafts this device keeps, and the ways to a new one. */
import { useEffect, useState } from "preact/hooks";
import { known, t } from "../../../messages";
import { PROCEDURE_KIND } from "../../../shapes";
import { beginDraft, drafts, type KeptDraft } from "../../../state/drafts";
import { go, to } from "../../../state/route";
import { moment } from "../../../ui/time";
import { said, useAsked } from "../asked";
import { DeskPage } from "../DeskPage";
import { FRESH, type Listed, listed, openFile } from "./answers";
import { textOf } from "./draft";

export function Procedures() {
  const { answer, wrong, again } = useAsked(listed, "procedures");
  return (
    <DeskPage title={t("desk-procedures")} wrong={wrong} again={again}>
      <Begin />
      <Drafts />
      {answer && PROCEDURE_KIND.map((kind) => <Kind key={kind} kind={kind} rows={answer} />)}
    </DeskPage>
  );
}

/** A procedure begun from nothing. */
const EMPTY = {
  [FRESH]: true,
  version: 1,
  kind: "cleaning",
  vessel_kinds: [],
  steps: [{ [FRESH]: true }],
};

function Begin() {
  const [wrong, setWrong] = useState("");
  const begin = async () => go("record", "procedure-edit", await beginDraft(EMPTY));
  const take = async (file: File | undefined) => {
    if (!file) return;
    try {
      go("record", "procedure-edit", await beginDraft(await openFile(await file.text())));
    } catch (error) {
      setWrong(said(error));
    }
  };
  return (
    <section>
      <div class="row-presses">
        <button type="button" class="press small" onClick={() => void begin().catch(reportError)}>
          {t("procedure-new")}
        </button>
        <label class="press small file-press">
          <input
            type="file"
            accept=".yaml,.yml"
            onChange={(event) => {
              void take(event.currentTarget.files?.[0]);
              event.currentTarget.value = "";
            }}
          />
          {t("procedure-open-file")}
        </label>
      </div>
      {wrong && (
        <p class="wrong" role="alert">
          {wrong}
        </p>
      )}
    </section>
  );
}

function Drafts() {
  const [kept, setKept] = useState<readonly KeptDraft[]>([]);
  useEffect(() => void drafts().then(setKept, reportError), []);
  if (kept.length === 0) return null;
  return (
    <section>
      <h2>{t("procedure-drafts")}</h2>
      <ul class="procedure-list">
        {kept.map((row) => (
          <li key={row.key}>
            <a href={to("record", "procedure-edit", row.key)}>
              {textOf(row.draft.title) || t("procedure-untitled")}
            </a>
            <span class="whose">
              {t("procedure-draft-of", {
                version: textOf(row.draft.version),
                time: moment(row.changed),
              })}
            </span>
          </li>
        ))}
      </ul>
    </section>
  );
}

function Kind({ kind, rows }: { readonly kind: string; readonly rows: readonly Listed[] }) {
  const own = rows
    .filter((row) => row.kind === kind)
    .sort((one, other) => one.title.localeCompare(other.title));
  if (own.length === 0) return null;
  return (
    <section>
      <h2>{known(`kind-${kind}`, kind)}</h2>
      <ul class="procedure-list">
        {own.map((row) => (
          <li key={row.id}>
            <a href={to("record", "procedure", row.id)}>{row.title}</a>
            <span class="whose">{t("procedure-version", { version: row.versions[0]?.version ?? 0 })}</span>
          </li>
        ))}
      </ul>
    </section>
  );
}
