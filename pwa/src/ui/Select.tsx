import { useId } from "preact/hooks";

type Props = {
  readonly label: string;
  /** What stands for none of them; absent where one must be chosen. */
  readonly none?: string;
  readonly value: string;
  readonly onValue: (value: string) => void;
  readonly options: readonly { readonly id: string; readonly name: string }[];
};

/** One of a list, or none of them. */
export function Select({ label, none, value, onValue, options }: Props) {
  const id = useId();
  return (
    <div class="text-field">
      <label for={id}>{label}</label>
      <select id={id} class="text" value={value} onChange={(event) => onValue(event.currentTarget.value)}>
        {none !== undefined && <option value="">{none}</option>}
        {options.map((option) => (
          <option key={option.id} value={option.id}>
            {option.name}
          </option>
        ))}
      </select>
    </div>
  );
}
