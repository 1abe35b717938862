/** Runs with nothing found, accepted together: each gets a signed review of its own, over its records as listed. */
import { useState } from "preact/hooks";
import { t } from "../../../messages";
import { act } from "../../../state/act";
import { personName, runTitle } from "../../../state/known";
import { to } from "../../../state/route";
import { syncNow } from "../../../sync";
import { HoldButton } from "../../../ui/HoldButton";
import { moment } from "../../../ui/time";
import { deskOpen, type Waiting } from "../answers";
import { said } from "../asked";
import { onThisDevice } from "../here";

type Props = { readonly rows: readonly Waiting[]; readonly changed: () => void };

export function Routine({ rows, changed }: Props) {
  const [off, setOff] = useState<ReadonlySet<string>>(new Set());
  const [done, setDone] = useState<number | null>(null);
  const [left, setLeft] = useState<readonly string[]>([]);
  const ticked = rows.filter((row) => !off.has(row.id));

  const turn = (id: string) => {
    const other = new Set(off);
    if (!other.delete(id)) other.add(id);
    setOff(other);
  };
  const accept = async () => {
    const failed: string[] = [];
    setLeft([]);
    for (const [at, row] of ticked.entries()) {
      setDone(at);
      const why = await accepted(row);
      if (why) failed.push(t("today-routine-left", { name: runTitle(row.vessel, row.title), why }));
    }
    await syncNow();
    setDone(null);
    setLeft(failed);
    changed();
  };

  return (
    <details class="routine">
      <summary>{t("today-routine", { count: rows.length })}</summary>
      <p>{t("today-routine-lead")}</p>
      <ul>
        {rows.map((row) => (
          <li key={row.id}>
            <label>
              <input type="checkbox" checked={!off.has(row.id)} onChange={() => turn(row.id)} />
              <span>
                {runTitle(row.vessel, row.title)}
                <span class="whose">
                  {" "}
                  {row.finished &&
                    t("record-by", {
                      person: personName(row.finished.person),
                      time: moment(row.finished.time),
                    })}
                </span>
              </span>
            </label>
            <a href={to("record", "run", row.id)}>{t("deviation-record")}</a>
          </li>
        ))}
      </ul>
      {left.map((words) => (
        <p class="wrong" role="alert" key={words}>
          {words}
        </p>
      ))}
      <p role="status" class="whose">
        {done !== null && t("today-routine-going", { done, count: ticked.length })}
      </p>
      <HoldButton
        label={t("today-routine-accept", { count: ticked.length })}
        busy={done !== null || ticked.length === 0}
        onHeld={() => void accept()}
      />
    </details>
  );
}

/** Why one could not be accepted, or nothing. The review covers the records that the list was made from. */
async function accepted(row: Waiting): Promise<string> {
  try {
    await deskOpen();
    if (!(await onThisDevice(row.id))) return t("review-not-here");
    const answer = await act("review", { verdict: "accepted", digest: row.digest ?? "", text: "" });
    return answer.ok ? "" : answer.text;
  } catch (error) {
    return said(error);
  }
}
