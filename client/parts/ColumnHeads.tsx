/** The first row of a table: what stands in each column. */
export function ColumnHeads({ titles }: { titles: readonly string[] }) {
  return (
    <thead>
      <tr>
        {titles.map((title) => (
          <th key={title} scope="col">
            {title}
          </th>
        ))}
      </tr>
    </thead>
  );
}
