/** The instrument a reading is made with: the one proposed, how it stands, and another when it is another. */
import { useEffect, useRef, useState } from "preact/hooks";
import { known, speakMore, t } from "../../../messages";
import english from "../../../messages/en.instruments.ftl?raw";
import { board } from "../../../state/board";
import { type Choices, choicesOf, pick, picked } from "../../../state/readwith";
import type { Session } from "../../../state/run";
import type { Entry, InstrumentView, Step } from "../../../state/view";
import { standing } from "../../now/instrument";

type Props = { readonly run: Session; readonly step: Step; readonly entry: Entry };

// Said on loading: where a sum is brought to an entry, its kind of instrument is named too.
const spoken = speakMore("instruments", english);

/** The screen's part, once its words are there. */
export async function ready(): Promise<{ readonly With: typeof With }> {
  await spoken;
  return { With };
}

function With({ run, step, entry }: Props) {
  const [choices, setChoices] = useState<Choices | null>(null);
  const [open, setOpen] = useState(false);
  const part = useRef<HTMLDivElement>(null);
  useEffect(() => {
    choicesOf(run, step, entry).then(setChoices, reportError);
  }, [run.view, board.value]);
  useEffect(() => {
    picked.value = "";
    return () => {
      picked.value = "";
    };
  }, []);
  const turned = useRef(false);
  useEffect(() => {
    // What was pressed has gone: the focus goes to what stands in its place, and the list above the keys.
    if (open || turned.current)
      part.current?.querySelector<HTMLElement>("[aria-pressed=true], button")?.focus({ preventScroll: true });
    if (open) part.current?.scrollIntoView();
    turned.current = open;
  }, [open]);
  const rows = choices?.rows ?? [];
  const chosen = rows.find((row) => row.id === (picked.value || choices?.proposed));
  const kind = known(`instrument-${entry.instrument}`, entry.instrument ?? "");
  const choose = (row: InstrumentView) => {
    pick(run, entry, row.id);
    setOpen(false);
  };
  if (open)
    return (
      <div ref={part}>
        <fieldset class="options" aria-label={t("with-which", { kind })}>
          {rows.map((row) => (
            <button
              type="button"
              key={row.id}
              class="option"
              aria-pressed={row === chosen}
              onClick={() => choose(row)}
            >
              <span class="option-mark" aria-hidden="true" />
              <span>
                <span>{row.name}</span> <span class="whose">{standing(row)}</span>
              </span>
            </button>
          ))}
        </fieldset>
      </div>
    );
  const words = chosen ? said(chosen) : t("enter-with", { instrument: kind });
  if (rows.length <= (chosen ? 1 : 0)) return <p class="whose">{words}</p>;
  return (
    <div ref={part}>
      <button type="button" class="with" data-state={chosen?.state} onClick={() => setOpen(true)}>
        {words} · <span class="with-change">{t("with-change")}</span>
      </button>
    </div>
  );
}

/** One that is good needs no more words than its name. */
const said = (row: InstrumentView): string =>
  row.state === "good"
    ? t("with", { name: row.name })
    : t("with-standing", { name: row.name, standing: standing(row) });
