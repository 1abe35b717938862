/** Everything a run can do besides its next step. */
import { useState } from "preact/hooks";
import { signOut } from "../../identity";
import { t } from "../../messages";
import { lines } from "../../state/board";
import { stepOf } from "../../state/known";
import { choose, type Mode, mode } from "../../state/mode";
import { paper } from "../../state/paper";
import { leave, replace, to } from "../../state/route";
import type { Session } from "../../state/run";
import { HoldButton } from "../../ui/HoldButton";
import { Page } from "../../ui/Page";
import { RunDeviations } from "../now/Deviations";
import { useAct } from "./ask/useAct";
import { Overview } from "./Overview";
import { runName } from "./read/name";
import { RefusedWords } from "./read/RefusedWords";

const MODES: readonly Mode[] = ["walk", "steps"];

export function More({ run }: { readonly run: Session }) {
  const { id, view } = run;
  const step = view.next;
  const address = (...parts: readonly string[]) => to("run", id, ...parts);
  return (
    <Page title={t("more-title")} over={runName(run)} back={["run", id]}>
      <fieldset class="modes">
        <legend>{t("more-mode")}</legend>
        {MODES.map((name) => (
          <button
            type="button"
            key={name}
            class="press"
            aria-pressed={mode.value === name}
            onClick={() => {
              choose(name);
              leave("run", id);
            }}
          >
            {t(`mode-${name}`)}
          </button>
        ))}
      </fieldset>
      <RunDeviations run={run} />
      <ul class="presses">
        <li>
          <a class="press" href={step ? address("note", step) : address("note")}>
            {t("note-title")}
          </a>
        </li>
        <li>
          <a class="press" href={step ? address("deviate", step) : address("deviate")}>
            {t("deviate-title")}
          </a>
        </li>
        {step && stepOf(run.procedure, step)?.optional && (
          <li>
            <a class="press" href={address("skip", step)}>
              {t("skip-title")}
            </a>
          </li>
        )}
        <li>
          <a class="press" href={to("sums")}>
            {t("sums")}
          </a>
        </li>
        <li>
          <PaperSwitch />
        </li>
        <li>
          <a class="press" href={address("sheet")}>
            {t("sheet-title")}
          </a>
        </li>
        <li>
          <a class="press" href={to("carry", id)}>
            {t("carry-title")}
          </a>
        </li>
        <li>
          <HandOver run={run} />
        </li>
        <PutAway run={run} />
        <li>
          <a class="press stop" href={address("abandon")}>
            {t("abandon-title")}
          </a>
        </li>
      </ul>
      <h2>{t("more-steps")}</h2>
      <Overview run={run} />
    </Page>
  );
}

/** Of a run with nothing recorded at a step: closed, and its vessel stays what it was. */
function PutAway({ run }: { readonly run: Session }) {
  const [refused, attempt] = useAct(["run", run.id]);
  const line = lines.value.find(({ id }) => id === run.id);
  if (!line || line.life.some(({ what }) => what === "begun")) return null;
  return (
    <li>
      {refused && <RefusedWords run={run} refused={refused} />}
      <HoldButton
        label={t("put-away")}
        tone="caution"
        onHeld={() => void attempt("abandon", { untouched: true })}
      />
    </li>
  );
}

function PaperSwitch() {
  return (
    <button
      type="button"
      class="press"
      aria-pressed={paper.value}
      onClick={() => {
        paper.value = !paper.value;
      }}
    >
      {t(paper.value ? "paper-stop" : "paper-start")}
    </button>
  );
}

/** The colleague signs in on this phone and finds the run as it stands. */
function HandOver({ run }: { readonly run: Session }) {
  const [sure, setSure] = useState(false);
  if (!sure)
    return (
      <button type="button" class="press" onClick={() => setSure(true)}>
        {t("hand-over")}
      </button>
    );
  const hand = async () => {
    replace("run", run.id);
    await signOut();
  };
  return (
    <fieldset class="sure" aria-label={t("hand-over")}>
      <p>{t("hand-over-what")}</p>
      <button type="button" class="press main" onClick={() => void hand()}>
        {t("hand-over-do")}
      </button>
    </fieldset>
  );
}
