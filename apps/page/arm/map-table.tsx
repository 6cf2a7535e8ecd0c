/** A map as a table, for those who would rather read numbers. */

interface Props {
  readonly title: string;
  readonly heads: readonly string[];
  readonly rows: readonly (readonly string[])[];
  /** of another question than the one that stands */
  readonly old: boolean;
}

export function MapTable({ title, heads, rows, old }: Props) {
  return (
    <table class={old ? "map-table old" : "map-table"}>
      <caption>
        {title}
        {old ? <b class="old-numbers"> Of the old numbers.</b> : null}
      </caption>
      <thead>
        <tr>
          {heads.map((head) => (
            <th key={head} scope="col">
              {head}
            </th>
          ))}
        </tr>
      </thead>
      <tbody>
        {rows.map((row) => (
          <tr key={row[0]}>
            {row.map((cell, k) =>
              k === 0 ? (
                <th key={heads[k]} scope="row">
                  {cell}
                </th>
              ) : (
                <td key={heads[k]}>{cell}</td>
              ),
            )}
          </tr>
        ))}
      </tbody>
    </table>
  );
}
