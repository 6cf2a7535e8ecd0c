/**
 * Rows -> a table in text: fields apart by commas, lines ended by CR LF, quotes round what needs them.
 *
 * @see docs/sources.md#comma-separated-values (RFC 4180)
 */
export function writeCsv(rows: readonly (readonly (string | number)[])[]): string {
  return rows.map((row) => `${row.map(sayField).join(",")}\r\n`).join("");
}

/** Numbers in the shortest decimal that reads back the same; those that are not finite leave their field empty. */
function sayField(field: string | number): string {
  if (typeof field === "number") return Number.isFinite(field) ? String(field) : "";
  return /[",\r\n]/.test(field) ? `"${field.replaceAll('"', '""')}"` : field;
}
