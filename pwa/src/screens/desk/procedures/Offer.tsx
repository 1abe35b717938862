/** The site figures that other procedures have already, to be taken over as they are: one figure, said the same everywhere. */
import { t } from "../../../messages";
import { Picker } from "./Controls";
import { type Draft, textOf } from "./draft";
import { useEditing } from "./editing";

type Props = { readonly taken: readonly Draft[]; readonly add: (row: Draft) => void };

export function Offer({ taken, add }: Props) {
  const { form } = useEditing();
  const held = new Set(taken.map((row) => row.id));
  return (
    <Picker
      label={t("procedure-setting-offer")}
      value=""
      onValue={(id) => {
        const row = form.settings.find((other) => other.id === id);
        if (row) add(row);
      }}
    >
      <option value="">{t("procedure-none")}</option>
      {form.settings
        .filter((row) => !held.has(row.id ?? ""))
        .map((row) => (
          <option key={textOf(row.id)} value={textOf(row.id)}>
            {row.unit ? `${textOf(row.label)} (${textOf(row.unit)})` : textOf(row.label)}
          </option>
        ))}
    </Picker>
  );
}
