/** Usual reasons as presses, and room for another in the person's own words. */
import { useState } from "preact/hooks";
import { t } from "../../../messages";
import { TextField } from "../../../ui/TextField";

type Props = {
  /** The catalogue holds `<name>-reason-1` up to `count`. */
  readonly name: string;
  readonly count: number;
  readonly onReason: (reason: string) => void;
};

export function Reasons({ name, count, onReason }: Props) {
  const [own, setOwn] = useState("");
  const usual = Array.from({ length: count }, (_, at) => t(`${name}-reason-${at + 1}`));
  return (
    <fieldset class="reasons">
      <legend>{t(`${name}-why`)}</legend>
      {usual.map((reason) => (
        <button type="button" class="press" key={reason} onClick={() => onReason(reason)}>
          {reason}
        </button>
      ))}
      <TextField label={t("reason-own")} value={own} onValue={setOwn} longest={500} />
      {own.trim() !== "" && (
        <button type="button" class="press main" onClick={() => onReason(own.trim())}>
          {t(`${name}-do`)}
        </button>
      )}
    </fieldset>
  );
}
