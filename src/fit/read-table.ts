/**
 * The text of a table of measurements -> numbers in SI, with every fault found at once.
 *
 * Comma, semicolon or tab; the first line that is neither empty nor a comment (#) holds the headings, as `load (g)`.
 */
import { dsvFormat } from "d3-dsv";
import { type Fault, findUnit, quantityKinds, readQuantity, refuse } from "../base/index.ts";
import { type Column, columnKinds, type MeasuredName, type SetName, type Table, type TableRow } from "./model.ts";

const names = Object.keys(columnKinds) as (SetName | MeasuredName)[];

interface Headed extends Column {
  readonly unit: string;
}

/** @throws InputError `table.*` */
export function readTable(file: string, text: string): Table {
  const records = dsvFormat(delimiterOf(text)).parseRows(text.replace(/^\uFEFF/, ""));
  const faults: Fault[] = [];
  const first = records.findIndex((record) => !isBlank(record));
  const headings = records[first];
  if (headings === undefined) {
    refuse([
      {
        code: "table.empty",
        path: "",
        file,
        problem: "holds no headings.",
        hint: "Give a first line with headings, as load (g),height (mm), and a row for each measurement.",
      },
    ]);
    return { file, columns: [], rows: [] };
  }
  const columns = headings.flatMap((heading, k) => readHeading(file, heading, first + 1, k + 1, faults));
  checkHeadings(file, columns, first + 1, faults);
  const rows: TableRow[] = [];
  records.forEach((record, k) => {
    if (k <= first || isBlank(record)) return;
    rows.push({ row: k + 1, cells: readCells(file, columns, headings.length, record, k + 1, faults) });
  });
  if (rows.length === 0)
    faults.push({ code: "table.empty", path: "", file, problem: "has no rows.", hint: "Give a row for each measurement." });
  refuse(faults);
  return { file, columns: columns.map(({ unit: _, ...column }) => column), rows };
}

function isBlank(record: readonly string[]): boolean {
  return (record[0] ?? "").trimStart().startsWith("#") || record.every((cell) => cell.trim() === "");
}

/** The sign that parts the headings; commas may be in comments, so comments do not count. */
function delimiterOf(text: string): string {
  const line = text.split(/\r?\n/).find((l) => l.trim() !== "" && !l.trimStart().startsWith("#")) ?? "";
  const bare = line.replace(/"[^"]*"/g, "");
  return bare.includes("\t") ? "\t" : bare.includes(";") ? ";" : ",";
}

/** @returns the column; none for notes, and none at fault */
function readHeading(file: string, heading: string, row: number, place: number, faults: Fault[]): Headed[] {
  const text = heading.trim().replace(/\s+/g, " ");
  if (/^notes?$/i.test(text) || text === "") return [];
  const add = (code: Fault["code"], problem: string, hint: string): Headed[] => {
    faults.push({ code, path: `column ${place}`, file, line: row, column: place, problem, hint, received: heading });
    return [];
  };
  const parts = /^(.*?)\s*(?:[([](.*)[)\]])?$/.exec(text);
  const words = (parts?.[1] ?? "").toLowerCase();
  const unit = parts?.[2]?.trim();
  const spread = words.endsWith(" spread");
  const [, stem = "", number] = /^(.*?)(?: (\d+))?$/.exec(words.replace(/ spread$/, "")) ?? [];
  const name = names.find((n) => n === stem);
  if (name === undefined) {
    return add(
      "table.heading",
      `is headed ${text}, which is not known.`,
      `Use one of: ${names.join(", ")}; or head it note to leave it out.`,
    );
  }
  const { quantity, role, counts, all } = columnKinds[name];
  const { says, units } = quantityKinds[quantity];
  if (spread && role === "set")
    return add("table.heading", `is headed ${text}, a spread of what is set.`, "Give spreads of what is read off only.");
  if (number !== undefined && counts === undefined)
    return add("table.heading", `is headed ${text}, but there is only one ${name}.`, `Head it ${name}.`);
  if (number === undefined && counts !== undefined && all !== true)
    return add("table.heading", `is headed ${text} without a number.`, `Say of which ${counts}, as ${name} 3.`);
  if (number === "0") return add("table.heading", `is headed ${text}.`, `Count ${counts}s from 1.`);
  const known = units.map((u) => u.name).join(", ");
  if (unit === undefined)
    return add(
      "table.unit",
      `is headed ${text} without a unit.`,
      `Write the unit behind it, as ${name} (${units[2]?.name ?? units[0]?.name}); units of ${says}: ${known}.`,
    );
  if (findUnit(quantity, unit) === undefined) return add("table.unit", `is in ${unit || "nothing"}.`, `Give ${says} in one of: ${known}.`);
  return [{ heading: text, name, index: number === undefined ? -1 : Number(number) - 1, spread, place, unit }];
}

function checkHeadings(file: string, columns: readonly Headed[], row: number, faults: Fault[]): void {
  const add = (column: Headed | undefined, problem: string, hint: string): void => {
    const at = column === undefined ? { path: "" } : { path: `column ${column.place}`, column: column.place };
    faults.push({ code: "table.heading", file, line: row, ...at, problem, hint });
  };
  columns.forEach((column, k) => {
    const same = (c: Headed): boolean => c.name === column.name && c.index === column.index && c.spread === column.spread;
    if (columns.findIndex(same) < k) add(column, `is headed ${column.heading}, as another column before it.`, "Keep one of them.");
    if (!column.spread) return;
    const reading = columns.some((c) => c.name === column.name && c.index === column.index && !c.spread);
    if (!reading)
      add(column, `is headed ${column.heading}, but the table has no such reading.`, "Give the reading as well, or leave its spread out.");
  });
  if (faults.length > 0) return;
  const has = (name: string): boolean => columns.some((c) => c.name === name && !c.spread);
  const measured = names.filter((n) => columnKinds[n].role === "measured");
  if (!measured.some(has)) add(undefined, "has no column that was read off.", `Give at least one of: ${measured.join(", ")}.`);
  const ways = ["hold", "bend", "command", "draw"].filter(has);
  if (ways.length > 1)
    add(
      undefined,
      `sets the arm in ${ways.length} ways at once: ${ways.join(", ")}.`,
      "Keep one of them; give the others in a table of their own.",
    );
  if (has("towards") && !has("bend") && !has("command"))
    add(undefined, "says towards where, but no bend.", "Give bend or command as well.");
  if (has("side") && !has("load")) add(undefined, "has a side but no load.", "Give the load that hangs there.");
  if (has("drop") && !has("load"))
    add(undefined, "has a drop but no load.", "Give the load that makes it; the drop is counted from the arm without it.");
}

function readCells(
  file: string,
  columns: readonly Headed[],
  width: number,
  record: readonly string[],
  row: number,
  faults: Fault[],
): Float64Array {
  const cells = new Float64Array(columns.length).fill(Number.NaN);
  const add = (column: Headed | undefined, problem: string, hint: string, received?: string): void => {
    const at = column === undefined ? `row ${row}` : `row ${row}, ${column.heading}`;
    const place = column === undefined ? {} : { column: column.place };
    faults.push({
      code: "table.cell",
      path: at,
      file,
      line: row,
      ...place,
      problem,
      hint,
      ...(received === undefined ? {} : { received }),
    });
  };
  const surplus = record.slice(width).some((cell) => cell.trim() !== "");
  if (surplus)
    add(undefined, `has ${record.length} cells where ${width} have headings.`, "Write decimals with a point, and one cell a heading.");
  columns.forEach((column, k) => {
    const cell = (record[column.place - 1] ?? "").trim();
    if (cell === "") return;
    const { quantity } = columnKinds[column.name];
    const written = quantity === "ratio" ? cell : `${cell} ${column.unit}`;
    const read = readQuantity(written, quantity);
    if ("code" in read) {
      const hint = /[a-z%]/i.test(cell.replace(/e[+-]?\d+$/i, ""))
        ? "Write the plain number; its unit stands in the heading."
        : read.hint.replace(` ${column.unit}`, "");
      add(column, `is ${cell}.`, hint, cell);
      return;
    }
    if (read.low !== read.high) {
      add(column, `is ${cell}, a range.`, `Write the number alone; how sure it is goes into a column ${column.name} spread.`, cell);
      return;
    }
    const wrong = limitOf(column, read.nominal);
    if (wrong !== undefined) add(column, `is ${cell}.`, wrong, cell);
    else cells[k] = read.nominal;
  });
  const measured = columns.filter((c) => columnKinds[c.name].role === "measured" && !c.spread);
  if (measured.length > 0 && measured.every((c) => (record[c.place - 1] ?? "").trim() === ""))
    add(undefined, "has nothing that was read off.", "Give a reading, or take the row out.");
  return cells;
}

/** @returns what to write instead, when the value cannot be meant */
function limitOf({ name, spread }: Column, value: number): string | undefined {
  if (spread) return value > 0 ? undefined : "Give the spread (one standard deviation) as a number above 0.";
  if ((name === "load" || name === "hold" || name === "tension") && value < 0) return "Give 0 or more.";
  if (name === "length out" && !(value > 0)) return "Give a length above 0.";
  if ((name === "bend" || name === "command") && Math.abs(value) > Math.PI) return "Give at most half a turn a section.";
  return undefined;
}
