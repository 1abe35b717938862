/** What the people pages ask of the office and tell it. */
import { read, send } from "../../../api";
import type { PersonStanding, Role } from "../../../shapes";

/** A secret left out stays what it was. */
type Secrets = { readonly pin?: string; readonly password?: string };
export type NewPerson = Secrets & { readonly name: string; readonly role: Role };
export type PersonChange = Partial<NewPerson> & { readonly status?: "active" | "gone" };

type Fields = Readonly<Record<string, unknown>>;
const isFields = (value: unknown): value is Fields => typeof value === "object" && value !== null;
const isPeople = (value: unknown): value is { people: readonly PersonStanding[] } =>
  isFields(value) && Array.isArray(value.people);
const isAdded = (value: unknown): value is { person: string } =>
  isFields(value) && typeof value.person === "string";
const isNull = (value: unknown): value is null => value === null;

const at = (person: string) => `/api/desk/people/${encodeURIComponent(person)}`;

export const people = async (): Promise<readonly PersonStanding[]> =>
  (await read("/api/desk/people", isPeople)).people;
export const addPerson = async (added: NewPerson): Promise<string> =>
  (await send("POST", "/api/desk/people", added, isAdded)).person;
export const changePerson = (person: string, change: PersonChange): Promise<null> =>
  send("PATCH", at(person), change, isNull);
export const eraseName = (person: string): Promise<null> => send("DELETE", `${at(person)}/name`, {}, isNull);

/** A form's secrets without the boxes that were left empty. */
export const filled = (pin: string, password: string): Secrets => ({
  ...(pin ? { pin } : {}),
  ...(password ? { password } : {}),
});
