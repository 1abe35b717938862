/** The site's own figures that every brew sheet rests on, each kept as it is given. */
import { useEffect, useState } from "preact/hooks";
import { t } from "../../../messages";
import { type SiteFigure, siteFigures } from "../../../state/brewing";
import { reference, syncNow } from "../../../sync";
import { figure } from "../../../ui/figures";
import { TextField } from "../../../ui/TextField";
import { said } from "../asked";
import { DeskPage } from "../DeskPage";
import { giveFigure } from "./answers";

export function Figures() {
  const settings = reference.value?.settings;
  const [rows, setRows] = useState<readonly SiteFigure[]>([]);
  useEffect(() => void siteFigures(settings ?? {}).then(setRows, reportError), [settings]);
  return (
    <DeskPage title={t("desk-figures")}>
      <p>{t("figures-lead")}</p>
      <ul class="site-figures">
        {rows.map((row) => (
          <li key={row.id}>
            <One key={row.value} row={row} />
          </li>
        ))}
      </ul>
    </DeskPage>
  );
}

function One({ row }: { readonly row: SiteFigure }) {
  const [value, setValue] = useState(row.value);
  const [wrong, setWrong] = useState(row.fault);
  const keep = async (event: Event) => {
    event.preventDefault();
    const settings = { ...reference.peek()?.settings, [row.id]: value };
    const fault = (await siteFigures(settings)).find((other) => other.id === row.id)?.fault ?? null;
    setWrong(fault);
    if (fault !== null) return;
    try {
      await giveFigure(row.id, value);
      await syncNow();
    } catch (error) {
      setWrong(said(error));
    }
  };
  return (
    <form class="site-figure" onSubmit={(event) => void keep(event)} noValidate>
      <TextField
        label={row.unit ? `${row.label} (${row.unit})` : row.label}
        help={t("figure-usual", { value: figure(row.usual) })}
        value={value}
        onValue={setValue}
        numeric
        {...(wrong === null ? {} : { fault: wrong })}
      />
      {value !== row.value && (
        <button type="submit" class="press small">
          {t("figure-keep")}
        </button>
      )}
    </form>
  );
}
