/** What to do in the first minute, one press away from any screen, for anyone and with no signal. */
import { useState } from "preact/hooks";
import { current } from "../../identity";
import { t } from "../../messages";
import { alarm } from "../../state/alarm";
import { caution, cautions, procedure } from "../../state/known";
import { go } from "../../state/route";
import type { Caution } from "../../state/view";
import { Title } from "../../ui/Page";
import { Call } from "./Call";

const RECORD = "accident-and-near-miss";

export function Emergency() {
  const [which, setWhich] = useState("");
  const chosen = caution(which);
  return (
    <main class="alarm emergency">
      {chosen ? <Minute chosen={chosen} /> : <Which choose={setWhich} />}
      {chosen && (
        <button type="button" class="press" onClick={() => setWhich("")}>
          {t("emergency-others")}
        </button>
      )}
      {!chosen && current.value && procedure(RECORD) && (
        <button type="button" class="press" onClick={() => close("start", RECORD)}>
          {t("emergency-record")}
        </button>
      )}
      <button type="button" class="press" onClick={() => close()}>
        {t("emergency-close")}
      </button>
    </main>
  );
}

function close(...parts: readonly string[]): void {
  alarm.value = "";
  if (parts.length > 0) go(...parts);
}

function Which({ choose }: { readonly choose: (id: string) => void }) {
  const rows = cautions()
    .filter((row) => row.emergency !== undefined)
    .sort((one, other) => (one.emergency ?? 0) - (other.emergency ?? 0));
  return (
    <>
      <Title text={t("emergency")} />
      <Call />
      {rows.length === 0 && <p class="alarm-line">{t("emergency-none")}</p>}
      {rows.map((row) => (
        <button
          key={row.id}
          type="button"
          class="press"
          onClick={() => {
            if (row.alarm) alarm.value = "gas";
            else choose(row.id);
          }}
        >
          {row.title}
        </button>
      ))}
    </>
  );
}

function Minute({ chosen }: { readonly chosen: Caution }) {
  return (
    <>
      <Title text={chosen.title} />
      <ol class="alarm-more">
        {chosen.minute.map((line) => (
          <li key={line}>{line}</li>
        ))}
      </ol>
      <Call />
      {chosen.first.map((line) => (
        <p key={line}>{line}</p>
      ))}
      <p class="defer">{chosen.defer}</p>
    </>
  );
}
