/** Stopping a run before its end: why, and how its vessel is left. */
import { useState } from "preact/hooks";
import { t } from "../../../messages";
import { LEFT } from "../../../shapes";
import type { Session } from "../../../state/run";
import { HoldButton } from "../../../ui/HoldButton";
import { Page } from "../../../ui/Page";
import { TextField } from "../../../ui/TextField";
import { homeOf, useAct } from "../ask/useAct";
import { RefusedWords } from "../read/RefusedWords";

export function Abandon({ run }: { readonly run: Session }) {
  const [reason, setReason] = useState("");
  const [left, setLeft] = useState<string | null>(null);
  const home = homeOf(run, null);
  const [refused, attempt] = useAct(home);
  return (
    <Page
      title={t("abandon-title")}
      back={home}
      dock={
        <>
          {refused && <RefusedWords run={run} refused={refused} />}
          <HoldButton
            label={t("abandon-do")}
            tone="stop"
            onHeld={() => void attempt("abandon", left === null ? { reason } : { reason, left })}
          />
        </>
      }
    >
      {run.view.vessel ? <HowLeft left={left} choose={setLeft} /> : <p>{t("abandon-lead-nowhere")}</p>}
      <TextField label={t("abandon-reason")} value={reason} onValue={setReason} lines={3} longest={4000} />
    </Page>
  );
}

type LeftProps = { readonly left: string | null; readonly choose: (state: string) => void };

/** How its vessel is left, as the core lists it; each has its words in the catalogue. */
function HowLeft({ left, choose }: LeftProps) {
  return (
    <>
      <p>{t("abandon-lead")}</p>
      <h2>{t("abandon-left")}</h2>
      <fieldset class="options" aria-label={t("abandon-left")}>
        {LEFT.map((state) => (
          <button
            type="button"
            key={state}
            class="option"
            aria-pressed={left === state}
            onClick={() => choose(state)}
          >
            <span class="option-mark" aria-hidden="true" />
            {t(`vessel-state-${state}`)}
          </button>
        ))}
      </fieldset>
    </>
  );
}
