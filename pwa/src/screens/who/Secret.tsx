/** A PIN on our own keys, or a manager's password. */
import type { ComponentChildren } from "preact";
import { useState } from "preact/hooks";
import { t } from "../../messages";
import { Keypad } from "../../ui/Keypad";
import { Back, Dock, Title } from "../../ui/Page";
import { TextField } from "../../ui/TextField";

const LEAST = 6;
const MOST = 12;

type Props = {
  readonly title: string;
  readonly over?: string;
  /** A password in words instead of a PIN in digits. */
  readonly word: boolean;
  readonly back: () => void;
  readonly backLabel: string;
  readonly said: ComponentChildren;
  readonly label?: string;
  readonly send: (secret: string) => Promise<void>;
  readonly children?: ComponentChildren;
};

export function Secret({ title, over, word, back, backLabel, said, label, send, children }: Props) {
  const [text, setText] = useState("");
  const [busy, setBusy] = useState(false);
  const ready = word ? text.length > 0 : text.length >= LEAST;

  const submit = async (event: Event) => {
    event.preventDefault();
    if (!ready || busy) return;
    setBusy(true);
    try {
      await send(text);
    } finally {
      setText("");
      setBusy(false);
    }
  };

  return (
    <form class="secret" onSubmit={(event) => void submit(event)}>
      <main class="page">
        <header class="page-head">
          <div class="page-top">
            <Back label={backLabel} press={back} />
            {over && <p class="over">{over}</p>}
          </div>
          <Title text={title} />
        </header>
        {children}
        <div class="wrong" role="alert">
          {said}
        </div>
        {word ? (
          <TextField label={t("password")} value={text} onValue={setText} secret />
        ) : (
          <Dots count={text.length} />
        )}
      </main>
      <Dock tall>
        {!word && <Keypad text={text} onText={setText} longest={MOST} />}
        <button type="submit" class="press main" aria-disabled={!ready || busy}>
          {busy ? t("sign-in-busy") : (label ?? t("sign-in-do"))}
        </button>
      </Dock>
    </form>
  );
}

function Dots({ count }: { readonly count: number }) {
  const places = Array.from({ length: Math.max(LEAST, count) }, (_, at) => at);
  return (
    <div class="pin">
      <p class="unseen" aria-live="polite">
        {t("pin-count", { count })}
      </p>
      <p class="pin-dots" aria-hidden="true">
        {places.map((at) => (
          <span key={at} data-full={at < count} />
        ))}
      </p>
      <p class="help">{t("pin-help", { least: LEAST })}</p>
    </div>
  );
}
