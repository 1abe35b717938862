/** Records carried from phone to phone as text, where neither has a signal. */
import { useEffect, useState } from "preact/hooks";
import { t } from "../../messages";
import { lines } from "../../state/board";
import { exportRun, exportUnsent, takeIn } from "../../state/carry";
import { runTitle } from "../../state/known";
import { Page } from "../../ui/Page";
import { TextField } from "../../ui/TextField";
import { HandOut } from "./HandOut";
import { Heads } from "./Heads";

/** These stand in the address in a run's place; no run is called so. */
const HEADS = "heads";
const UNSENT = "unsent";

export function Carry({ parts: [run] }: { readonly parts: readonly string[] }) {
  if (run === HEADS) return <Heads />;
  if (run === UNSENT) return <Unsent />;
  return run ? <Out run={run} /> : <In />;
}

function Out({ run }: { readonly run: string }) {
  const [text, setText] = useState("");
  const line = lines.value.find((row) => row.id === run);
  useEffect(() => {
    exportRun(run).then(setText, reportError);
  }, [run]);
  return (
    <HandOut
      title={t("carry-title")}
      name={`run-${run}.jsonl`}
      text={text}
      back={["run", run]}
      {...(line ? { over: runTitle(line.vessel, line.title) } : {})}
    >
      <p>{t("carry-lead")}</p>
    </HandOut>
  );
}

/** All that waits here, for a phone that cannot reach the office itself. */
function Unsent() {
  const [text, setText] = useState("");
  useEffect(() => {
    exportUnsent().then(setText, reportError);
  }, []);
  return (
    <HandOut title={t("unsent-title")} name="unsent.jsonl" text={text} back={["phone"]}>
      <p>{t("unsent-lead")}</p>
    </HandOut>
  );
}

function In() {
  const [text, setText] = useState("");
  const [said, setSaid] = useState("");
  const [wrong, setWrong] = useState("");
  const take = async (given: string) => {
    setSaid("");
    setWrong("");
    const answer = await takeIn(given);
    if ("wrong" in answer) return setWrong(t("carry-wrong", { text: answer.wrong }));
    setSaid(t("carry-taken", answer));
    setText("");
  };
  const read = async (input: HTMLInputElement) => {
    const [file] = input.files ?? [];
    if (file) await take(await file.text());
    input.value = "";
  };
  return (
    <Page
      title={t("carry-in-title")}
      back={["phone"]}
      dock={
        <button
          type="button"
          class="press main"
          aria-disabled={text.trim() === ""}
          onClick={() => void take(text)}
        >
          {t("carry-take")}
        </button>
      }
    >
      <p>{t("carry-in-lead")}</p>
      <label class="press file">
        {t("carry-file")}
        <input
          type="file"
          class="unseen"
          accept=".jsonl,text/plain"
          onChange={(event) => void read(event.currentTarget)}
        />
      </label>
      <TextField label={t("carry-paste")} value={text} onValue={setText} lines={5} mono />
      <p role="status">{said}</p>
      {wrong && (
        <p class="wrong" role="alert">
          {wrong}
        </p>
      )}
    </Page>
  );
}
