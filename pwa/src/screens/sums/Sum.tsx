/** One sum: what it is given, the result, and its working. It is worked anew with each key that is pressed. */
import { useEffect, useState } from "preact/hooks";
import { known, t } from "../../messages";
import { to } from "../../state/route";
import { useSumAnswer } from "../../state/sumAnswer";
import type { Asked, Calculation, Figures } from "../../state/sums";
import type { Figure } from "../../state/view";
import { decimalMark, figure } from "../../ui/figures";
import { Keypad } from "../../ui/Keypad";
import { Page } from "../../ui/Page";
import { Value, Working } from "../../ui/Working";
import { read, type Spot, sameSpot, spotsOf, useFigures, written } from "./figures";
import { Inputs, spotId } from "./Inputs";

export function Sum({ row }: { readonly row: Calculation }) {
  const { figures, kept, change, clear } = useFigures(row);
  const [spot, setSpot] = useState<Spot | null>(null);
  const { working, wrong, words } = useSumAnswer(row, figures);
  useEffect(() => {
    if (!spot) return;
    const press = document.getElementById(spotId(spot));
    press?.scrollIntoView({ block: "start" });
    press?.focus({ preventScroll: true });
    return () => press?.focus({ preventScroll: true });
  }, [spot]);
  const main = working?.results[0] ?? null;
  return (
    <Page
      title={row.title}
      over={known(`sums-place-${row.place}`, row.place)}
      back={["sums"]}
      tall={spot !== null}
      dock={
        (main || spot) && (
          <>
            {main && <Answer result={main} />}
            {spot && figures && (
              <Keys
                row={row}
                figures={figures}
                spot={spot}
                wrong={wrong[spot.input]}
                change={change}
                move={setSpot}
              />
            )}
            {!spot && row.results.some(([, , , places]) => places !== null) && (
              <a class="press" href={to("sums", row.name, "put")}>
                {t("sums-put")}
              </a>
            )}
          </>
        )
      }
    >
      {kept && <p class="whose">{t("sums-kept")}</p>}
      {figures && (
        <Inputs row={row} figures={figures} wrong={wrong} spot={spot} change={change} move={setSpot} />
      )}
      {words && <p class="sum-words">{words}</p>}
      {working && <Working working={working} />}
      {figures && Object.keys(figures).length > 0 && (
        <button
          type="button"
          class="press"
          onClick={() => {
            setSpot(null);
            clear();
          }}
        >
          {t("sums-clear")}
        </button>
      )}
    </Page>
  );
}

/** The result under the thumb, so that it is seen to change as figures do. */
function Answer({ result }: { readonly result: Figure }) {
  return (
    <p class="sum-answer" aria-live="polite">
      <span>{result.label}</span> <Value value={result.value} unit={result.unit} />
    </p>
  );
}

type KeysProps = {
  readonly row: Calculation;
  readonly figures: Figures;
  readonly spot: Spot;
  readonly wrong: string | undefined;
  readonly change: (figures: Figures) => void;
  readonly move: (spot: Spot | null) => void;
};

/** The number keys for the figure that is being given, and the way to the next one. */
function Keys({ row, figures, spot, wrong, change, move }: KeysProps) {
  const spots = spotsOf(row, figures);
  const at = spots.findIndex((held) => sameSpot(spot, held.spot));
  const asked = spots[at]?.asked;
  const next = spots[at + 1];
  const text = read(figures, spot);
  // What is wrong with a table stands over its first row, which may be out of sight.
  const table = row.inputs.some((input) => input.id === spot.input && input.kind === "series");
  if (!asked) return null;
  return (
    <>
      <p class="keying" aria-live="polite">
        <span>{asked.label}</span>
        <Value value={shown(text) || "–"} unit={asked.unit} />
      </p>
      {table && wrong && <p class="wrong">{wrong}</p>}
      <Keypad
        key={spotId(spot)}
        text={text}
        onText={(typed) => change(written(row, figures, spot, typed))}
        point={!asked.whole}
        sign={below(asked)}
      />
      <div class="dock-row">
        <button type="button" class="press" onClick={() => move(null)}>
          {t("sums-keyed")}
        </button>
        {next && (
          <button type="button" class="press main" onClick={() => move(next.spot)}>
            {t("sums-next")}
          </button>
        )}
      </div>
    </>
  );
}

/** A number not finished yet stays as it is keyed. */
const shown = (text: string): string => figure(text).replace(".", decimalMark);

/** Only figures that may lie below nought get a sign key. */
const below = (asked: Asked): boolean => asked.min?.startsWith("-") ?? false;
