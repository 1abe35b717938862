/** Our own numeric keys, large enough for a glove. What is keyed stays text; the core reads it. */
import { useEffect, useRef } from "preact/hooks";
import { t } from "../messages";
import { decimalMark } from "./figures";

type Props = {
  readonly text: string;
  readonly onText: (text: string) => void;
  readonly point?: boolean;
  readonly sign?: boolean;
  readonly longest?: number;
};

const DIGITS = ["1", "2", "3", "4", "5", "6", "7", "8", "9"];

/** What the text becomes when a key is pressed. */
export function keyed(text: string, key: string, longest: number): string {
  if (key === "back") return text.slice(0, -1);
  if (key === "sign") return text.startsWith("-") ? text.slice(1) : `-${text}`;
  if (text.length >= longest) return text;
  if (key === decimalMark) {
    if (/[.,]/.test(text)) return text;
    return /\d/.test(text) ? text + key : `${text}0${key}`;
  }
  return text + key;
}

export function Keypad({ text, onText, point = false, sign = false, longest = 9 }: Props) {
  // Two keys may be struck before the screen is painted again: the second builds on the first.
  const latest = useRef(text);
  latest.current = text;
  const press = (key: string) => {
    latest.current = keyed(latest.current, key, longest);
    onText(latest.current);
  };

  useEffect(() => {
    const type = (event: KeyboardEvent) => {
      const key = keyOf(event, point, sign);
      if (key === null) return;
      event.preventDefault();
      press(key);
    };
    addEventListener("keydown", type);
    return () => removeEventListener("keydown", type);
  });

  return (
    <fieldset class="keypad" aria-label={t("keypad")}>
      {DIGITS.map((digit) => (
        <Key key={digit} name={digit} shown={digit} press={press} />
      ))}
      {point && <Key name={decimalMark} shown={decimalMark} label={t("keypad-point")} press={press} />}
      {sign && !point && <Key name="sign" shown="±" label={t("keypad-sign")} press={press} />}
      {!point && !sign && <span />}
      <Key name="0" shown="0" press={press} />
      <Key name="back" shown={t("keypad-back")} press={press} quiet />
      {sign && point && <Key name="sign" shown="±" label={t("keypad-sign")} press={press} />}
    </fieldset>
  );
}

/** Which key of the pad a key of a keyboard stands for, if any. */
function keyOf(event: KeyboardEvent, point: boolean, sign: boolean): string | null {
  if (event.ctrlKey || event.metaKey || event.altKey) return null;
  if (event.target instanceof HTMLInputElement || event.target instanceof HTMLTextAreaElement) return null;
  if (/^\d$/.test(event.key)) return event.key;
  if (event.key === "Backspace") return "back";
  if (point && (event.key === "." || event.key === ",")) return decimalMark;
  return sign && event.key === "-" ? "sign" : null;
}

type KeyProps = {
  readonly name: string;
  readonly shown: string;
  readonly label?: string;
  readonly quiet?: boolean;
  readonly press: (name: string) => void;
};

function Key({ name, shown, label, quiet = false, press }: KeyProps) {
  return (
    <button type="button" class={quiet ? "key quiet" : "key"} aria-label={label} onClick={() => press(name)}>
      {shown}
    </button>
  );
}
