/** A duty brewer overrides an interlock by name and PIN: why, and what is checked instead. */
import { useEffect, useState } from "preact/hooks";
import { people } from "../../../identity";
import { t } from "../../../messages";
import { act } from "../../../state/act";
import { stepOf } from "../../../state/known";
import { look, lookAt } from "../../../state/looks";
import type { Session } from "../../../state/run";
import { TextField } from "../../../ui/TextField";
import { Bullets } from "../../../ui/Working";
import { ByPerson } from "./ByPerson";

type Props = { readonly run: Session; readonly step: string; readonly interlock: string };

export function Override({ run, step, interlock }: Props) {
  const [reason, setReason] = useState("");
  const [check, setCheck] = useState("");
  useEffect(() => {
    look(step).catch(reportError);
  }, [step]);
  const row = lookAt(step)?.interlocks.find((one) => one.interlock === interlock);
  return (
    <ByPerson
      run={run}
      name="override"
      over={stepOf(run.procedure, step)?.title ?? step}
      home={["run", run.id, "step", step]}
      people={people().filter((person) => row?.by.includes(person.role))}
      ready={reason.trim() !== "" && check.trim() !== ""}
      made={(person) => act("override", { step, interlock, reason, check }, person)}
    >
      {row && <Bullets rows={row.reasons} />}
      <p>{t("override-lead")}</p>
      <TextField label={t("override-reason")} value={reason} onValue={setReason} lines={3} longest={4000} />
      <TextField label={t("override-check")} value={check} onValue={setCheck} lines={3} longest={4000} />
    </ByPerson>
  );
}
