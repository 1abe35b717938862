/** Who works here and who did: a list, and a form for one more. */
import { useState } from "preact/hooks";
import { t } from "../../../messages";
import { type PersonStanding, ROLE, type Role } from "../../../shapes";
import { leave, to } from "../../../state/route";
import { Select } from "../../../ui/Select";
import { TextField } from "../../../ui/TextField";
import { said, useAsked } from "../asked";
import { DeskPage } from "../DeskPage";
import { addPerson, filled, people } from "./asks";

export function People() {
  const { answer, wrong, again } = useAsked(people, "people");
  return (
    <DeskPage title={t("desk-people")} wrong={wrong} again={again}>
      {answer && (
        <>
          <Listed rows={answer.filter((row) => row.status === "active")} />
          <p>
            <a class="press main" href={to("record", "person-new")}>
              {t("person-add")}
            </a>
          </p>
          <Gone rows={answer.filter((row) => row.status !== "active")} />
        </>
      )}
    </DeskPage>
  );
}

function Gone({ rows }: { readonly rows: readonly PersonStanding[] }) {
  if (rows.length === 0) return null;
  return (
    <section>
      <h2>{t("people-gone")}</h2>
      <Listed rows={rows} />
    </section>
  );
}

function Listed({ rows }: { readonly rows: readonly PersonStanding[] }) {
  return (
    <ul class="need-list">
      {rows.map((row) => (
        <li key={row.id}>
          <a class="need" href={to("record", "person", row.id)}>
            <strong>{nameOf(row)}</strong>
            <span class="whose">{t(`role-${row.role}`)}</span>
          </a>
        </li>
      ))}
    </ul>
  );
}

/** The name, or the id of somebody whose name was forgotten. */
export const nameOf = (row: PersonStanding): string => row.name ?? t("person-nameless", { id: row.id });

export function NewPerson() {
  const [name, setName] = useState("");
  const [role, setRole] = useState<Role>("starter");
  const [pin, setPin] = useState("");
  const [password, setPassword] = useState("");
  const [wrong, setWrong] = useState("");
  const [busy, setBusy] = useState(false);
  const submit = async (event: Event) => {
    event.preventDefault();
    if (busy) return;
    if (name.trim() === "") return setWrong(t("person-no-name"));
    if (!pin) return setWrong(t("person-no-pin"));
    if (role === "manager" && !password) return setWrong(t("person-no-password"));
    setBusy(true);
    try {
      await addPerson({ name: name.trim(), role, ...filled(pin, role === "manager" ? password : "") });
      leave("record", "people");
    } catch (error) {
      setWrong(said(error));
      setBusy(false);
    }
  };
  return (
    <DeskPage title={t("person-add")}>
      <form class="person-form" onSubmit={(event) => void submit(event)}>
        <TextField label={t("person-name")} value={name} onValue={setName} longest={80} />
        <RoleChoice role={role} onRole={setRole} />
        <SecretFields role={role} {...{ pin, setPin, password, setPassword }} />
        <Wrong text={wrong} />
        <button type="submit" class="press main" aria-disabled={busy}>
          {t("person-add-do")}
        </button>
      </form>
    </DeskPage>
  );
}

export function RoleChoice({ role, onRole }: { readonly role: Role; readonly onRole: (role: Role) => void }) {
  const options = ROLE.map((id) => ({ id, name: t(`role-${id}`) }));
  return (
    <>
      <Select
        label={t("person-role")}
        value={role}
        options={options}
        onValue={(value) => onRole(ROLE.find((one) => one === value) ?? role)}
      />
      <p class="help">{t(`person-role-${role}`)}</p>
    </>
  );
}

type SecretProps = {
  readonly role: Role;
  readonly pin: string;
  readonly setPin: (value: string) => void;
  readonly password: string;
  readonly setPassword: (value: string) => void;
};

/** They stand in the open: whoever sets another's secret reads it out, and no browser is to keep it as its own. */
export function SecretFields({ role, pin, setPin, password, setPassword }: SecretProps) {
  return (
    <>
      <TextField
        label={t("person-pin")}
        value={pin}
        onValue={setPin}
        help={t("person-pin-help")}
        longest={64}
        numeric
      />
      {role === "manager" && (
        <TextField
          label={t("person-password")}
          value={password}
          onValue={setPassword}
          help={t("person-password-help")}
          longest={1000}
        />
      )}
    </>
  );
}

export function Wrong({ text }: { readonly text: string }) {
  if (!text) return null;
  return (
    <p class="wrong" role="alert">
      {text}
    </p>
  );
}
