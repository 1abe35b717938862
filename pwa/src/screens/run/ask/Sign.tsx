/** A second person signs a step with their own PIN; the first person's session goes on. */
import { useEffect } from "preact/hooks";
import { people } from "../../../identity";
import { t } from "../../../messages";
import { act } from "../../../state/act";
import { personName, stepOf } from "../../../state/known";
import { look, lookAt } from "../../../state/looks";
import type { Session } from "../../../state/run";
import { moment } from "../../../ui/time";
import { ByPerson } from "./ByPerson";

export function Sign({ run, step }: { readonly run: Session; readonly step: string }) {
  const done = run.view.steps[step]?.done;
  useEffect(() => {
    look(step).catch(reportError);
  }, [step]);
  const roles = lookAt(step)?.signers;
  return (
    <ByPerson
      run={run}
      name="sign"
      over={stepOf(run.procedure, step)?.title ?? step}
      home={["run", run.id, "step", step]}
      people={people().filter((person) => person.id !== done?.person && roles?.includes(person.role))}
      made={(person) => act("sign", { step, role: person.role }, person)}
    >
      {done && <p>{t("sign-what", { person: personName(done.person), time: moment(done.time) })}</p>}
    </ByPerson>
  );
}
