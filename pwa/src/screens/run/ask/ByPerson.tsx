/** Something done by a named person with their own PIN, on whoever's phone it is; the session goes on. */
import type { ComponentChildren } from "preact";
import { useState } from "preact/hooks";
import type { ReferencePerson } from "../../../identity";
import { type SignInAnswer, verifyPerson } from "../../../identity";
import { t } from "../../../messages";
import type { Answer, Refused } from "../../../state/act";
import { leaveFromHere, type Route } from "../../../state/route";
import type { Session } from "../../../state/run";
import { Page } from "../../../ui/Page";
import { People } from "../../who/People";
import { Said } from "../../who/Said";
import { Secret } from "../../who/Secret";
import { RefusedWords } from "../read/RefusedWords";

type Props = {
  readonly run: Session;
  /** The messages are `<name>-title`, `<name>-as` and `<name>-do`. */
  readonly name: string;
  readonly over: string;
  readonly home: Route;
  readonly people: readonly ReferencePerson[];
  /** Whether all that must be said beforehand has been said. */
  readonly ready?: boolean;
  readonly made: (person: ReferencePerson) => Promise<Answer>;
  readonly children?: ComponentChildren;
};

export function ByPerson({ run, name, over, home, people, ready = true, made, children }: Props) {
  const [picked, setPicked] = useState<ReferencePerson | null>(null);
  const [answer, setAnswer] = useState<SignInAnswer | null>(null);
  const [refused, setRefused] = useState<Refused | null>(null);

  const send = async (person: ReferencePerson, secret: string) => {
    const done = leaveFromHere();
    const said = await verifyPerson(person.id, secret);
    setAnswer(said);
    if (!said.ok) return;
    const record = await made(person);
    if (record.ok) done(...home);
    else setRefused(record);
  };

  if (picked)
    return (
      <Secret
        title={t(`${name}-as`, { name: picked.name })}
        over={over}
        word={picked.role === "manager"}
        back={() => setPicked(null)}
        backLabel={t("sign-in-other")}
        label={t(`${name}-do`)}
        said={refused ? <RefusedWords run={run} refused={refused} /> : <Said answer={answer} />}
        send={(secret) => send(picked, secret)}
      />
    );
  return (
    <Page title={t(`${name}-title`)} over={over} back={home}>
      {children}
      {ready && <People people={people} pick={setPicked} />}
    </Page>
  );
}
