/** One person: name, role and secrets, that they left or came back, and their name forgotten. */
import { useEffect, useState } from "preact/hooks";
import { current } from "../../../identity";
import { t } from "../../../messages";
import type { PersonStanding, Role } from "../../../shapes";
import { HoldButton } from "../../../ui/HoldButton";
import { TextField } from "../../../ui/TextField";
import { said, useAsked } from "../asked";
import { DeskPage } from "../DeskPage";
import { changePerson, eraseName, filled, type PersonChange, people } from "./asks";
import { nameOf, RoleChoice, SecretFields, Wrong } from "./People";

type Props = { readonly row: PersonStanding; readonly changed: () => void };

export function Person({ id }: { readonly id: string }) {
  const { answer, wrong, again } = useAsked(people, `person ${id}`);
  const row = answer?.find((one) => one.id === id);
  if (answer && !row) return <DeskPage title={t("not-found")} />;
  return (
    <DeskPage title={row ? nameOf(row) : t("desk-people")} wrong={wrong} again={again}>
      {row &&
        (row.status === "active" ? <Here row={row} changed={again} /> : <Gone row={row} changed={again} />)}
    </DeskPage>
  );
}

function Here({ row, changed }: Props) {
  return (
    <>
      <Particulars key={`${row.name} ${row.role}`} row={row} changed={changed} />
      <NewSecrets row={row} changed={changed} />
      {row.id !== current.value?.id && <Leaving row={row} changed={changed} />}
    </>
  );
}

/** Sends a change; in words what came of it. */
function useChange(row: PersonStanding, changed: () => void) {
  const [wrong, setWrong] = useState("");
  const [done, setDone] = useState("");
  const change = async (ask: () => Promise<unknown>, words: string): Promise<boolean> => {
    setDone("");
    try {
      await ask();
    } catch (error) {
      setWrong(said(error));
      return false;
    }
    setWrong("");
    setDone(words);
    changed();
    return true;
  };
  useEffect(() => setWrong(""), [row.id]);
  return { wrong, done, change };
}

function Particulars({ row, changed }: Props) {
  const [name, setName] = useState(row.name ?? "");
  const [role, setRole] = useState<Role>(row.role);
  const { wrong, done, change } = useChange(row, changed);
  const same = name.trim() === row.name && role === row.role;
  const keep = (event: Event) => {
    event.preventDefault();
    if (same) return;
    const data: PersonChange = {
      ...(name.trim() === row.name ? {} : { name: name.trim() }),
      ...(role === row.role ? {} : { role }),
    };
    void change(() => changePerson(row.id, data), t("person-kept"));
  };
  return (
    <form class="person-form" onSubmit={keep}>
      <TextField label={t("person-name")} value={name} onValue={setName} longest={80} />
      <RoleChoice role={role} onRole={setRole} />
      {role === "manager" && row.role !== "manager" && <p class="help">{t("person-manager-needs")}</p>}
      <Wrong text={wrong} />
      <p role="status">{done}</p>
      <button type="submit" class="press main" aria-disabled={same}>
        {t("person-keep")}
      </button>
    </form>
  );
}

function NewSecrets({ row, changed }: Props) {
  const [pin, setPin] = useState("");
  const [password, setPassword] = useState("");
  const { wrong, done, change } = useChange(row, changed);
  const empty = !pin && !password;
  const set = async (event: Event) => {
    event.preventDefault();
    if (empty) return;
    if (!(await change(() => changePerson(row.id, filled(pin, password)), t("person-secret-set")))) return;
    setPin("");
    setPassword("");
  };
  return (
    <section>
      <h2>{t("person-secrets")}</h2>
      <p>{t("person-secrets-lead")}</p>
      <form class="person-form" onSubmit={(event) => void set(event)}>
        <SecretFields role={row.role} {...{ pin, setPin, password, setPassword }} />
        <Wrong text={wrong} />
        <p role="status">{done}</p>
        <button type="submit" class="press" aria-disabled={empty}>
          {t("person-secret-do")}
        </button>
      </form>
    </section>
  );
}

function Leaving({ row, changed }: Props) {
  const { wrong, change } = useChange(row, changed);
  return (
    <section>
      <h2>{t("person-left")}</h2>
      <p>{t("person-left-lead")}</p>
      <Wrong text={wrong} />
      <HoldButton
        label={t("person-left-do", { name: nameOf(row) })}
        tone="stop"
        onHeld={() => void change(() => changePerson(row.id, { status: "gone" }), "")}
      />
    </section>
  );
}

function Gone({ row, changed }: Props) {
  const { wrong, change } = useChange(row, changed);
  if (row.name === null) return <p>{t("person-forgotten")}</p>;
  return (
    <>
      <p>{t("person-gone", { role: t(`role-${row.role}`) })}</p>
      <Wrong text={wrong} />
      <button
        type="button"
        class="press"
        onClick={() => void change(() => changePerson(row.id, { status: "active" }), "")}
      >
        {t("person-back")}
      </button>
      <section>
        <h2>{t("person-forget")}</h2>
        <p>{t("person-forget-lead")}</p>
        <HoldButton
          label={t("person-forget-do")}
          tone="stop"
          onHeld={() => void change(() => eraseName(row.id), "")}
        />
      </section>
    </>
  );
}
