/** Labels to print and fix to vessels and instruments: the name large, and a code that opens its page. */
import { useState } from "preact/hooks";
import { t } from "../../../messages";
import { vesselCards } from "../../../state/known";
import { to } from "../../../state/route";
import { Qr } from "../../../ui/Qr";
import { useAsked } from "../asked";
import { DeskPage } from "../DeskPage";
import { instruments } from "../listed";

type Label = { readonly key: string; readonly name: string; readonly below: string; readonly open: string };

export function Labels() {
  const { answer, wrong, again } = useAsked(instruments, "instruments");
  const vessels = vesselCards().map(
    ({ id, name, place }): Label => ({ key: `v ${id}`, name, below: place, open: to("vessel", id) }),
  );
  const meters = (answer?.instruments ?? [])
    .filter((row) => row.state !== "out")
    .map(
      ({ id, name, place }): Label => ({
        key: `i ${id}`,
        name,
        below: place,
        open: to("record", "instrument", id),
      }),
    );
  return (
    <DeskPage title={t("desk-labels")} wrong={wrong} again={again}>
      <div class="not-on-paper">
        <p>{t("labels-lead")}</p>
        <p>{t("labels-where", { address: location.origin })}</p>
        <button type="button" class="press main" onClick={() => print()}>
          {t("labels-print")}
        </button>
      </div>
      <Sheet title={t("labels-vessels")} rows={vessels} />
      {meters.length > 0 && <Sheet title={t("desk-instruments")} rows={meters} />}
    </DeskPage>
  );
}

function Sheet({ title, rows }: { readonly title: string; readonly rows: readonly Label[] }) {
  const [out, setOut] = useState<ReadonlySet<string>>(new Set());
  const turn = (key: string) =>
    setOut(new Set(out.has(key) ? [...out].filter((one) => one !== key) : [...out, key]));
  const every = () => setOut(out.size === rows.length ? new Set() : new Set(rows.map(({ key }) => key)));
  return (
    <section>
      <div class="not-on-paper">
        <h2>{title}</h2>
        <button type="button" class="press small" onClick={every}>
          {out.size === rows.length ? t("labels-all") : t("labels-none")}
        </button>
      </div>
      <ul class="labels">
        {rows.map((row) => (
          <li
            key={row.key}
            class={out.has(row.key) ? "label not-on-paper" : "label"}
            data-out={out.has(row.key)}
          >
            <Qr text={`${location.origin}/${row.open}`} label={t("label-code", { name: row.name })} />
            <div class="label-words">
              <strong>{row.name}</strong>
              <span>{row.below}</span>
              <label class="not-on-paper">
                <input type="checkbox" checked={!out.has(row.key)} onChange={() => turn(row.key)} />
                {t("label-print", { name: row.name })}
              </label>
            </div>
          </li>
        ))}
      </ul>
    </section>
  );
}
