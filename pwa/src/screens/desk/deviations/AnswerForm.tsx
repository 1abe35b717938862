/** The answer to a deviation, where it is listed: a signed record in its run, as one given at the vessel is. */
import { useState } from "preact/hooks";
import { people } from "../../../identity";
import { t } from "../../../messages";
import { act } from "../../../state/act";
import { syncNow } from "../../../sync";
import { Select } from "../../../ui/Select";
import { TextField } from "../../../ui/TextField";
import { said } from "../asked";
import { onThisDevice } from "../here";
import type { Deviation } from "./listed";

type Props = { readonly row: Deviation; readonly done: () => void; readonly close: () => void };
const FIELDS = ["text", "cause", "prevention", "owner", "due"] as const;
type Draft = Readonly<Record<(typeof FIELDS)[number], string>>;

export function AnswerForm({ row, done, close }: Props) {
  const [draft, setDraft] = useState<Draft>(() => begun(row));
  const [wrong, setWrong] = useState<{ readonly text: string; readonly field: string | null } | null>(null);
  const [busy, setBusy] = useState(false);
  const set = (name: keyof Draft) => (value: string) => setDraft({ ...draft, [name]: value });
  const fault = (name: keyof Draft) => (wrong?.field === name ? { fault: wrong.text } : {});

  const send = async (pending: boolean) => {
    setBusy(true);
    setWrong(null);
    try {
      if (!(await onThisDevice(row.run))) return setWrong({ text: t("review-not-here"), field: null });
      const given = Object.fromEntries(FIELDS.map((name) => [name, draft[name].trim()]));
      const answer = await act("answer", { deviation: row.event, ...given, ...(pending ? { pending } : {}) });
      if (!answer.ok) return setWrong(answer);
      await syncNow();
      done();
    } catch (error) {
      setWrong({ text: said(error), field: null });
    } finally {
      setBusy(false);
    }
  };

  return (
    <form class="answer-form" onSubmit={(event) => event.preventDefault()}>
      <TextField
        label={t("deviation-done")}
        value={draft.text}
        onValue={set("text")}
        lines={2}
        longest={4000}
        {...fault("text")}
      />
      <TextField
        label={t("deviation-cause")}
        value={draft.cause}
        onValue={set("cause")}
        lines={2}
        longest={4000}
        {...fault("cause")}
      />
      <TextField
        label={t("deviation-prevention")}
        value={draft.prevention}
        onValue={set("prevention")}
        lines={2}
        longest={4000}
        {...fault("prevention")}
      />
      <div class="filters">
        <Select
          label={t("deviation-owner")}
          none={t("deviation-nobody")}
          value={draft.owner}
          onValue={set("owner")}
          options={people()}
        />
        <TextField
          label={t("deviation-due")}
          type="date"
          value={draft.due}
          onValue={set("due")}
          {...fault("due")}
        />
      </div>
      <p class="whose">{t("deviation-follow-lead")}</p>
      {wrong && (
        <p class="wrong" role="alert">
          {wrong.text}
        </p>
      )}
      <div class="review-presses">
        <button type="button" class="press main" disabled={busy} onClick={() => void send(false)}>
          {t("deviation-close")}
        </button>
        <button type="button" class="press" disabled={busy} onClick={() => void send(true)}>
          {t("deviation-follow")}
        </button>
        <button type="button" class="press small" disabled={busy} onClick={close}>
          {t("deviation-never-mind")}
        </button>
      </div>
    </form>
  );
}

/** What an earlier answer said that is not closed yet, to be gone on from. */
function begun({ answered }: Deviation): Draft {
  return {
    text: answered?.action ?? "",
    cause: answered?.cause ?? "",
    prevention: answered?.prevention ?? "",
    owner: answered?.owner ?? "",
    due: answered?.due ?? "",
  };
}
