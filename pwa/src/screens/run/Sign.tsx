/** A second person signs a step with their own PIN; the first person's session goes on. */
import { useState } from "preact/hooks";
import type { ReferencePerson } from "../../api";
import { people, type SignInAnswer, verifyPerson } from "../../identity";
import { t } from "../../messages";
import { act, type Refused } from "../../state/act";
import { personName, stepOf } from "../../state/known";
import { leaveFromHere } from "../../state/route";
import type { Session } from "../../state/run";
import { Page } from "../../ui/Page";
import { moment } from "../../ui/time";
import { Secret } from "../enrol/Secret";
import { Said } from "../enrol/SignIn";
import { RefusedWords } from "./RefusedWords";

export function Sign({ run, step }: { readonly run: Session; readonly step: string }) {
  const [picked, setPicked] = useState<ReferencePerson | null>(null);
  const [answer, setAnswer] = useState<SignInAnswer | null>(null);
  const [refused, setRefused] = useState<Refused | null>(null);
  const view = run.view.steps[step];
  const title = stepOf(run.procedure, step)?.title ?? step;
  const home = ["run", run.id, "step", step] as const;

  const sign = async (person: ReferencePerson, secret: string) => {
    const done = leaveFromHere();
    const said = await verifyPerson(person.id, secret);
    setAnswer(said);
    if (!said.ok) return;
    const made = await act("sign", { step, role: person.role }, person);
    if (made.ok) done(...home);
    else setRefused(made);
  };

  if (picked)
    return (
      <Secret
        title={t("sign-as", { name: picked.name })}
        over={title}
        word={picked.role === "manager"}
        back={() => setPicked(null)}
        backLabel={t("sign-in-other")}
        label={t("sign-do")}
        said={refused ? <RefusedWords run={run} refused={refused} /> : <Said answer={answer} />}
        send={(secret) => sign(picked, secret)}
      />
    );
  return (
    <Page title={t("sign-title")} over={title} back={home}>
      {view?.done && (
        <p>{t("sign-what", { person: personName(view.done.person), time: moment(view.done.time) })}</p>
      )}
      <ul class="people">
        {people()
          .filter((person) => person.id !== view?.done?.person)
          .map((person) => (
            <li key={person.id}>
              <button type="button" class="press person" onClick={() => setPicked(person)}>
                <span>{person.name}</span>
                <span class="role">{t(`role-${person.role}`)}</span>
              </button>
            </li>
          ))}
      </ul>
    </Page>
  );
}
