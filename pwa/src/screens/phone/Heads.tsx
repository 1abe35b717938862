/** The signed heads of the log that this phone keeps, to hand out, and what did not fit them. */
import { useEffect, useState } from "preact/hooks";
import { t } from "../../messages";
import { forFile, type Heads as Held, keptHeads } from "../../state/heads";
import { syncState } from "../../sync";
import { moment } from "../../ui/time";
import { HandOut } from "./HandOut";

export function Heads() {
  const [held, setHeld] = useState<Held>({ heads: [], checked: 0 });
  const { running } = syncState.value; // an exchange that has ended may have brought another
  useEffect(() => {
    if (!running) keptHeads().then(setHeld, reportError);
  }, [running]);
  const { heads, doubt } = held;
  return (
    <HandOut title={t("phone-heads")} name="heads.json" text={forFile(held)} back={["phone"]}>
      {doubt && (
        <div class="refused" role="alert">
          <p>{t(`heads-${doubt.kind}`, { time: moment(doubt.at) })}</p>
          <p>{t("heads-do")}</p>
        </div>
      )}
      <p>{t("heads-lead")}</p>
      <ul>
        {heads.map((head) => (
          <li key={head.signature}>
            {t("heads-one", { count: head.size, time: moment(Date.parse(head.time)) })}
          </li>
        ))}
      </ul>
    </HandOut>
  );
}
