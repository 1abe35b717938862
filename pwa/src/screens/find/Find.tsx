/** One box over vessels, procedures and sums: what is typed narrows each, and a press opens it. */
import { signal } from "@preact/signals";
import { useEffect, useState } from "preact/hooks";
import { t } from "../../messages";
import { offered, vesselCards } from "../../state/known";
import { to } from "../../state/route";
import { type Calculation, calculations } from "../../state/sums";
import type { Procedure } from "../../state/view";
import { Page } from "../../ui/Page";
import { TextField } from "../../ui/TextField";
import { isMeant, meant } from "../sums/meant";

/** Stays while what was found is looked at and left again. */
const words = signal("");

export function Find() {
  const [sums, setSums] = useState<readonly Calculation[]>([]);
  useEffect(() => {
    calculations().then(setSums, reportError);
  }, []);
  const typed = words.value;
  const asked = typed.trim() !== "";
  const vessels = vesselCards().filter((row) => asked && isMeant(typed, row.name, row.place));
  const procedures = offered().filter((row) => asked && isMeant(typed, row.title, t(`kind-${row.kind}`)));
  const found = sums.filter((row) => asked && meant(row, typed));
  const count = vessels.length + procedures.length + found.length;
  return (
    <Page title={t("find")} back={[]} wide>
      <TextField
        label={t("find-words")}
        value={typed}
        onValue={(value) => {
          words.value = value;
        }}
      />
      <p class={count > 0 || !asked ? "unseen" : ""} aria-live="polite">
        {asked && t("find-found", { count })}
      </p>
      <Found
        title={t("plant-title")}
        rows={vessels.map((row) => ({ name: row.name, open: to("vessel", row.id) }))}
      />
      {procedures.length > 0 && (
        <section>
          <h2>{t("find-procedures")}</h2>
          <ul class="presses">
            {procedures.map((row) => (
              <li key={row.id}>
                <Where row={row} />
              </li>
            ))}
          </ul>
        </section>
      )}
      <Found title={t("sums")} rows={found.map((row) => ({ name: row.title, open: to("sums", row.name) }))} />
    </Page>
  );
}

type Row = { readonly name: string; readonly open: string };

function Found({ title, rows }: { readonly title: string; readonly rows: readonly Row[] }) {
  if (rows.length === 0) return null;
  return (
    <section>
      <h2>{title}</h2>
      <ul class="presses">
        {rows.map((row) => (
          <li key={row.open}>
            <a class="press" href={row.open}>
              {row.name}
            </a>
          </li>
        ))}
      </ul>
    </section>
  );
}

/** A procedure is begun where it belongs: at one of its vessels, or at none. */
function Where({ row }: { readonly row: Procedure }) {
  const vessels = vesselCards().filter(({ kind }) => row.vessel_kinds.includes(kind));
  if (vessels.length === 0)
    return (
      <a class="press" href={to("start", row.id)}>
        {row.title}
      </a>
    );
  return (
    <details class="kind-fold">
      <summary>{row.title}</summary>
      <ul class="presses">
        {vessels.map(({ id, name }) => (
          <li key={id}>
            <a class="press" href={to("start", row.id, id)}>
              {name}
            </a>
          </li>
        ))}
      </ul>
    </details>
  );
}
