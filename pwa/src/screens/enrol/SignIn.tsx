/** Pick a name, key a PIN. The office is asked when it can be reached; otherwise this phone knows those who were here before. */
import { useState } from "preact/hooks";
import type { ReferencePerson } from "../../identity";
import { current, people, type SignInAnswer, signIn, signOut, unlock } from "../../identity";
import { t } from "../../messages";
import { personName } from "../../state/known";
import { reference, syncNow, syncState } from "../../sync";
import { Page } from "../../ui/Page";
import { RunningHolds } from "../now/RunningHolds";
import { People } from "../who/People";
import { Said } from "../who/Said";
import { Secret } from "../who/Secret";

export function SignIn() {
  const [picked, setPicked] = useState<ReferencePerson | null>(null);
  if (picked)
    return (
      <SecretFor person={picked} back={() => setPicked(null)} send={(secret) => signIn(picked.id, secret)} />
    );
  const known = reference.value ? people() : [];
  return (
    <Page title={t("sign-in")}>
      <RunningHolds />
      {known.length === 0 ? (
        <>
          <p>{t(syncState.value.running ? "sign-in-asking" : "sign-in-nobody")}</p>
          <button type="button" class="press" onClick={() => void syncNow()}>
            {t("try-again")}
          </button>
        </>
      ) : (
        <People people={known} pick={setPicked} />
      )}
    </Page>
  );
}

/** After idling: the same person unlocks, or another signs in. What is held goes on and stays in sight. */
export function Lock() {
  const person = current.value;
  if (!person) return null;
  return (
    <SecretFor
      person={person}
      title={t("locked")}
      back={() => void signOut()}
      backLabel={t("not-you", { name: personName(person.id) })}
      send={unlock}
    />
  );
}

type SecretProps = {
  readonly person: Pick<ReferencePerson, "id" | "name" | "role">;
  readonly title?: string;
  readonly back: () => void;
  readonly backLabel?: string;
  readonly send: (secret: string) => Promise<SignInAnswer>;
};

function SecretFor({ person, title, back, backLabel, send }: SecretProps) {
  const [answer, setAnswer] = useState<SignInAnswer | null>(null);
  return (
    <Secret
      title={title ?? t("sign-in-as", { name: person.name })}
      over={title ? person.name : t(`role-${person.role}`)}
      word={person.role === "manager"}
      back={back}
      backLabel={backLabel ?? t("sign-in-other")}
      said={<Said answer={answer} />}
      send={async (secret) => setAnswer(await send(secret))}
    >
      <RunningHolds />
    </Secret>
  );
}
