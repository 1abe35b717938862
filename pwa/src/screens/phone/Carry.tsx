/** Records carried from phone to phone as text, where neither has a signal. */
import { useEffect, useState } from "preact/hooks";
import { t } from "../../messages";
import { lines } from "../../state/board";
import { exportRun, takeIn } from "../../state/carry";
import { runTitle } from "../../state/known";
import { Page } from "../../ui/Page";
import { TextField } from "../../ui/TextField";

export function Carry({ parts: [run] }: { readonly parts: readonly string[] }) {
  return run ? <Out run={run} /> : <In />;
}

function Out({ run }: { readonly run: string }) {
  const [text, setText] = useState("");
  const [said, setSaid] = useState("");
  const line = lines.value.find((row) => row.id === run);
  useEffect(() => {
    exportRun(run).then(setText, reportError);
  }, [run]);
  const file = () => new File([text], `run-${run}.jsonl`, { type: "text/plain" });
  const share = async () => {
    if (!navigator.canShare?.({ files: [file()] })) return save();
    try {
      await navigator.share({ files: [file()], title: t("carry-title") });
    } catch (error) {
      if (!(error instanceof DOMException && error.name === "AbortError")) throw error;
    }
  };
  const save = () => {
    const link = document.createElement("a");
    link.href = URL.createObjectURL(file());
    link.download = `run-${run}.jsonl`;
    link.click();
    URL.revokeObjectURL(link.href);
    setSaid(t("carry-saved"));
  };
  const copy = async () => {
    await navigator.clipboard.writeText(text);
    setSaid(t("carry-copied"));
  };
  return (
    <Page
      title={t("carry-title")}
      back={["run", run]}
      {...(line ? { over: runTitle(line.vessel, line.title) } : {})}
      dock={
        <div class="dock-row">
          <button
            type="button"
            class="press"
            onClick={() => void copy().catch(() => setSaid(t("carry-no-copy")))}
          >
            {t("carry-copy")}
          </button>
          <button type="button" class="press main" onClick={() => void share()}>
            {t("carry-share")}
          </button>
        </div>
      }
    >
      <p>{t("carry-lead")}</p>
      <p role="status">{said}</p>
      <details class="why">
        <summary>{t("carry-text")}</summary>
        <pre class="carried">{text}</pre>
      </details>
    </Page>
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
