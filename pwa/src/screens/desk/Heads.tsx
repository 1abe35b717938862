/** The heads of a table's columns, in order; a column that is not there is given as null. */
export function Heads({ of }: { readonly of: readonly (string | null)[] }) {
  return (
    <thead>
      <tr>
        {of.map(
          (text, at) =>
            text !== null && (
              <th key={at} scope="col">
                {text}
              </th>
            ),
        )}
      </tr>
    </thead>
  );
}
