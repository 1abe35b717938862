/** A page whose text is handed out of the phone: shared or saved as a file, or copied. */
import type { ComponentChildren } from "preact";
import { useState } from "preact/hooks";
import { t } from "../../messages";
import { Page } from "../../ui/Page";

type Props = {
  readonly title: string;
  readonly over?: string;
  readonly back: readonly string[];
  /** of the file */
  readonly name: string;
  readonly text: string;
  readonly children: ComponentChildren;
};

export function HandOut({ title, over, back, name, text, children }: Props) {
  const [said, setSaid] = useState("");
  const file = () => new File([text], name, { type: "text/plain" });
  const share = async () => {
    if (!navigator.canShare?.({ files: [file()] })) return save();
    try {
      await navigator.share({ files: [file()], title });
    } catch (error) {
      if (!(error instanceof DOMException && error.name === "AbortError")) throw error;
    }
  };
  const save = () => {
    const link = document.createElement("a");
    link.href = URL.createObjectURL(file());
    link.download = name;
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
      title={title}
      back={back}
      {...(over ? { over } : {})}
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
      {children}
      <p role="status">{said}</p>
      <details class="why">
        <summary>{t("carry-text")}</summary>
        <pre class="carried">{text}</pre>
      </details>
    </Page>
  );
}
