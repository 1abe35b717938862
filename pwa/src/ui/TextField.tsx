/** A line or a few lines of text, with its label above and its help below it. */
import { useId } from "preact/hooks";

type Props = {
  readonly label: string;
  readonly value: string;
  readonly onValue: (value: string) => void;
  readonly help?: string;
  /** What is wrong with the value. */
  readonly fault?: string;
  readonly lines?: number;
  readonly longest?: number;
  /** Letters of equal width and no corrections: codes and lot marks. */
  readonly mono?: boolean;
  readonly secret?: boolean;
  /** Asks the phone for its number keys; the text stays text. */
  readonly numeric?: boolean;
  readonly type?: "text" | "date";
};

export function TextField({
  label,
  value,
  onValue,
  help,
  fault,
  lines = 1,
  longest,
  mono,
  secret,
  numeric,
  type = "text",
}: Props) {
  const id = useId();
  const below = fault ?? help;
  const shared = {
    id,
    value,
    class: mono ? "text code" : "text",
    autocomplete: secret ? ("current-password" as const) : ("off" as const),
    autocapitalize: mono ? ("characters" as const) : ("sentences" as const),
    spellcheck: !mono,
    ...(numeric ? { inputMode: "decimal" as const } : {}),
    ...(longest === undefined ? {} : { maxLength: longest }),
    ...(below ? { "aria-describedby": `${id}-help` } : {}),
    ...(fault ? { "aria-invalid": true } : {}),
    onInput: (event: { readonly currentTarget: { readonly value: string } }) =>
      onValue(event.currentTarget.value),
  };
  return (
    <div class="text-field">
      <label for={id}>{label}</label>
      {lines > 1 && <textarea rows={lines} {...shared} />}
      {lines === 1 && secret && <input type="password" {...shared} />}
      {lines === 1 && !secret && type === "date" && <input type="date" {...shared} />}
      {lines === 1 && !secret && type === "text" && <input type="text" {...shared} />}
      {below && (
        <p class={fault ? "wrong" : "help"} id={`${id}-help`}>
          {below}
        </p>
      )}
    </div>
  );
}
