/** Tables -> rows as the solver takes them for one arm. */
import type { ArmModel } from "../arm/index.ts";
import { type Fault, formatQuantity, refuse } from "../base/index.ts";
import {
  type Column,
  columnKinds,
  type MeasuredName,
  type MeasuredRow,
  type Reading,
  type Table,
  type TableRow,
  type TableSort,
} from "./model.ts";

/** @throws InputError `table.arm` where a table does not go with the arm */
export function bindTables(arm: ArmModel, tables: readonly Table[]): MeasuredRow[] {
  const faults: Fault[] = [];
  const rows = tables.flatMap((table, t) => {
    checkNumbers(arm, table, faults);
    return table.rows.map((row) => bindRow(arm, table, t, row, faults));
  });
  refuse(faults);
  return rows;
}

export function sortOf(table: Table): TableSort {
  const has = (name: string): boolean => table.columns.some((c) => c.name === name);
  return has("tension") ? "pull" : has("command") || has("draw") ? "command" : "droop";
}

function checkNumbers(arm: ArmModel, table: Table, faults: Fault[]): void {
  for (const { name, index, heading, place } of table.columns) {
    const { counts } = columnKinds[name];
    const most = counts === "section" ? arm.sections : arm.cables;
    if (counts === undefined || index < most) continue;
    faults.push({
      code: "table.arm",
      path: `column ${place}`,
      file: table.file,
      column: place,
      problem: `is headed ${heading}.`,
      hint: `The arm ${arm.description.name} has ${most} ${counts}s.`,
    });
  }
}

function bindRow(arm: ArmModel, table: Table, t: number, { row, cells }: TableRow, faults: Fault[]): MeasuredRow {
  const at = (name: string, index = -1): number => {
    const k = table.columns.findIndex((c) => c.name === name && c.index === index && !c.spread);
    return k < 0 ? Number.NaN : (cells[k] as number);
  };
  const has = (name: string): boolean => table.columns.some((c) => c.name === name);
  const way = has("hold") ? "hold" : has("command") || has("draw") ? "draw" : "bend";
  const full = (arm.along[arm.spans] as number) + arm.description.tool.length;
  const out = or(at("length out"), full);
  // two whole spans at the least, so that there is something to bend
  const least = full - (arm.along[arm.spans - 2] ?? 0);
  if (out > full * (1 + 1e-9) || out < least * (1 - 1e-9)) {
    const say = (x: number): string => formatQuantity(x, "length", "metric");
    faults.push({
      code: "table.arm",
      path: `row ${row}, length out`,
      file: table.file,
      line: row,
      problem: `is ${say(out)}.`,
      hint: `Give a length from ${say(least)} to ${say(full)}, counted from the guide's exit to the tool point.`,
    });
  }
  const bend = bendsOf(arm, has("command") ? "command" : "bend", at);
  const draw = new Float64Array(arm.cables);
  if (has("command")) drawFor(arm, bend, draw);
  for (let c = 0; c < arm.cables; c++) {
    const drawn = or(at("draw", c), 0);
    draw[c] = (draw[c] as number) + drawn;
    if (Math.abs(drawn) > gapsOf(arm, c)) faults.push(tooFar(arm, table, row, c, drawn));
  }
  return {
    table: t,
    row,
    way,
    hold: or(at("hold"), 0),
    bend,
    draw,
    exit: Math.max(0, full - out),
    roll: or(at("roll"), 0),
    load: or(at("load"), 0),
    side: or(at("side"), 0),
    readings: readingsOf(table.columns, cells),
  };
}

/** All gaps that a cable bridges together, m: closed, they leave no more to draw. */
function gapsOf(arm: ArmModel, cable: number): number {
  const end = arm.firstSpan[(arm.sectionOfCable[cable] as number) + 1] as number;
  return arm.flexible.subarray(0, end).reduce((sum, gap) => sum + gap, 0);
}

function tooFar(arm: ArmModel, table: Table, row: number, cable: number, drawn: number): Fault {
  const say = (x: number): string => formatQuantity(x, "length", "metric");
  return {
    code: "table.arm",
    path: `row ${row}, draw ${cable + 1}`,
    file: table.file,
    line: row,
    problem: `is ${say(drawn)}.`,
    hint: `All gaps that the cable bridges are ${say(gapsOf(arm, cable))}: give less, and check the unit.`,
  };
}

function or(value: number, preset: number): number {
  return Number.isNaN(value) ? preset : value;
}

function readingsOf(columns: readonly Column[], cells: Float64Array): Reading[] {
  return columns.flatMap(({ name, index, spread, heading, place }, k) => {
    const value = cells[k] as number;
    if (spread || columnKinds[name].role === "set" || Number.isNaN(value)) return [];
    const s = columns.findIndex((c) => c.name === name && c.index === index && c.spread);
    return [{ name: name as MeasuredName, index, heading, place, value, spread: s < 0 ? Number.NaN : (cells[s] as number) }];
  });
}

/** [section, 2] rad: a column without a number holds for every section that has none of its own. */
function bendsOf(arm: ArmModel, name: "bend" | "command", at: (name: string, index?: number) => number): Float64Array {
  const bend = new Float64Array(2 * arm.sections);
  for (let j = 0; j < arm.sections; j++) {
    const angle = or(at(name, j), or(at(name), 0));
    const towards = or(at("towards", j), or(at("towards"), 0));
    bend[2 * j] = -angle * Math.sin(towards);
    bend[2 * j + 1] = angle * Math.cos(towards);
  }
  return bend;
}

/**
 * What drives that know only the straight arm's geometry draw for these bends: a cable at (x, y) gets shorter by x by - y bx in every
 * section it runs through.
 */
function drawFor(arm: ArmModel, bend: Float64Array, draw: Float64Array): void {
  for (let c = 0; c < arm.cables; c++) {
    for (let j = 0; j <= (arm.sectionOfCable[c] as number); j++) {
      draw[c] =
        (draw[c] as number) + (arm.cableX[c] as number) * (bend[2 * j + 1] as number) - (arm.cableY[c] as number) * (bend[2 * j] as number);
    }
  }
}
