/** Plain text tables: columns as wide as their widest cell, two spaces apart. */

/** @param rows the first is the heading; a cell must have no line break */
export function table(rows: readonly (readonly string[])[]): string {
  const widths: number[] = [];
  for (const row of rows) {
    for (const [column, cell] of row.entries())
      widths[column] = Math.max(widths[column] ?? 0, [...cell].length);
  }
  const line = (row: readonly string[]): string =>
    row
      .map((cell, column) => cell + " ".repeat((widths[column] as number) - [...cell].length))
      .join("  ")
      .trimEnd();
  const [heading = [], ...rest] = rows;
  return [line(heading), line(widths.map((width) => "-".repeat(width))), ...rest.map(line)].join("\n");
}
