/** The manager's word on a closed run: a signed record like any other, over exactly what is on the screen. */
import { useState } from "preact/hooks";
import { Problem } from "../../api";
import { t } from "../../messages";
import { act } from "../../state/act";
import type { Held } from "../../state/record";
import { syncNow } from "../../sync";
import { HoldButton } from "../../ui/HoldButton";
import { TextField } from "../../ui/TextField";
import { deskOpen } from "./answers";
import { said } from "./asked";
import { onThisDevice } from "./here";

type Props = { readonly held: Held; readonly reviewed: () => void };

export function Review({ held, reviewed }: Props) {
  const [text, setText] = useState("");
  const [wrong, setWrong] = useState("");
  const [busy, setBusy] = useState(false);
  const { run, digest } = held;

  const review = async (verdict: "accepted" | "rejected") => {
    setBusy(true);
    setWrong("");
    try {
      await deskOpen();
      if (!(await onThisDevice(run.id))) return setWrong(t("review-not-here"));
      const answer = await act("review", { verdict, digest, text: text.trim() });
      if (!answer.ok) return setWrong(answer.text);
      await syncNow();
      reviewed();
    } catch (error) {
      setWrong(error instanceof Problem && error.status === 403 ? t("review-desk-shut") : said(error));
    } finally {
      setBusy(false);
    }
  };

  return (
    <section class="review">
      <h2>{t(run.review ? "review-again" : "review-title")}</h2>
      <p>{t("review-lead")}</p>
      <TextField label={t("review-text")} value={text} onValue={setText} lines={3} longest={4000} />
      {wrong && (
        <p class="wrong" role="alert">
          {wrong}
        </p>
      )}
      <div class="review-presses">
        <HoldButton label={t("review-accept")} busy={busy} onHeld={() => void review("accepted")} />
        <HoldButton
          label={t("review-reject")}
          tone="stop"
          busy={busy}
          onHeld={() => void review("rejected")}
        />
      </div>
    </section>
  );
}
