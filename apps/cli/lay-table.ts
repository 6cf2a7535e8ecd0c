/** Rows of cells -> lines with straight columns. */

/** @param rows the first is the heading @param right columns whose cells stand at the right */
export function layTable(rows: readonly (readonly string[])[], right: readonly number[] = []): string {
  const widths = (rows[0] ?? []).map((_, column) => Math.max(...rows.map((row) => (row[column] ?? "").length)));
  return rows
    .map((row) => {
      const cells = row.map((cell, column) =>
        right.includes(column) ? cell.padStart(widths[column] ?? 0) : cell.padEnd(widths[column] ?? 0),
      );
      return `  ${cells.join("  ")}`.trimEnd();
    })
    .join("\n");
}
