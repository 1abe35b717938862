/** The people of the brewery to pick from, each with what they are here. */
import type { ReferencePerson } from "../../identity";
import { t } from "../../messages";

type Props = {
  readonly people: readonly ReferencePerson[];
  readonly pick: (person: ReferencePerson) => void;
};

export function People({ people, pick }: Props) {
  return (
    <ul class="people">
      {people.map((person) => (
        <li key={person.id}>
          <button type="button" class="press person" onClick={() => pick(person)}>
            <span>{person.name}</span>
            <span class="role">{t(`role-${person.role}`)}</span>
          </button>
        </li>
      ))}
    </ul>
  );
}
