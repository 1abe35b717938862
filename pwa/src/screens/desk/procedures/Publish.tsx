/** Publishing a draft: what it changes, a note that stays in the record, and one press. */
import { useState } from "preact/hooks";
import { t } from "../../../messages";
import { forgetDraft, type KeptDraft } from "../../../state/drafts";
import { replace, to } from "../../../state/route";
import { syncNow } from "../../../sync";
import { TextField } from "../../../ui/TextField";
import { said } from "../asked";
import { DeskPage } from "../DeskPage";
import { publish } from "./answers";
import { Difference } from "./Difference";
import { textOf } from "./draft";
import { OutOfTurn } from "./Mend";
import type { DraftState } from "./useDraft";

type Props = { readonly kept: KeptDraft; readonly state: DraftState };

export function Publish({ kept, state }: Props) {
  const [note, setNote] = useState("");
  const [fault, setFault] = useState<string | undefined>(undefined);
  const [wrong, setWrong] = useState<string | null>(null);
  const [busy, setBusy] = useState(false);
  const { checked, current, draft } = state;
  const version = textOf(draft.version);
  const back = (
    <a class="press small" href={to("record", "procedure-edit", kept.key)}>
      {t("procedure-go-on")}
    </a>
  );
  const title = t("procedure-publish-title", { version });
  if (!checked || !current)
    return (
      <DeskPage title={title} over={textOf(draft.title)} wrong={state.wrong}>
        <p>{t("procedure-checking")}</p>
        {back}
      </DeskPage>
    );
  const { procedure } = checked;
  if (!procedure)
    return (
      <DeskPage title={title} over={textOf(draft.title)}>
        <p class="wrong">{t("procedure-faults", { count: checked.faults.length })}</p>
        {back}
      </DeskPage>
    );
  const same = checked.newest !== null && checked.difference.length === 0;
  const send = async (event: Event) => {
    event.preventDefault();
    if (busy || same) return;
    if (note.trim() === "") return setFault(t("procedure-note-needed"));
    setBusy(true);
    try {
      await publish(procedure, note.trim());
      await forgetDraft(kept.key);
      await syncNow();
      replace("record", "procedure", procedure.id);
    } catch (error) {
      setWrong(said(error));
      setBusy(false);
    }
  };
  return (
    <DeskPage title={title} over={procedure.title} wrong={wrong}>
      <OutOfTurn state={state} />
      <section>
        <h2>
          {checked.newest === null
            ? t("procedure-first")
            : t("procedure-against", { version: checked.newest })}
        </h2>
        {checked.newest !== null && <Difference rows={checked.difference} />}
      </section>
      <form class="publish" onSubmit={(event) => void send(event)} noValidate>
        <TextField
          label={t("procedure-note")}
          help={t("procedure-note-help")}
          value={note}
          onValue={setNote}
          lines={2}
          longest={400}
          {...(fault === undefined ? {} : { fault })}
        />
        <p>{t("procedure-open-runs")}</p>
        <button type="submit" class="press main" aria-disabled={busy || same}>
          {t("procedure-publish-do", { version })}
        </button>
        {back}
      </form>
    </DeskPage>
  );
}
