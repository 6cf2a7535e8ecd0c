import { describe, expect, test } from "vitest";
import { createArm } from "../../src/arm/index.ts";
import { type Fault, InputError } from "../../src/base/index.ts";
import { createFit, readTable } from "../../src/fit/index.ts";
import { twinArm } from "../rod/twin.ts";
import { bench } from "./made-tables.ts";

function faultsOf(task: () => unknown): readonly Fault[] {
  try {
    task();
  } catch (error) {
    if (error instanceof InputError) return error.faults;
    throw error;
  }
  return [];
}

describe("reading a table", () => {
  test("comments, a mark of byte order, quotes, semicolons, tabs and empty cells", () => {
    const text =
      '\uFEFF# hung on the tool, arm flat\n"load (g)",height [mm],"height spread (mm)",note\n\n0,-1.5,0.2,"first, by hand"\n2e1,-12,,\n';
    for (const delimiter of [",", ";", "\t"]) {
      const table = readTable("t.csv", text.replaceAll(",", delimiter).replaceAll(`first${delimiter} by`, "first, by"));
      expect(table.columns.map((c) => [c.name, c.spread, c.place])).toEqual([
        ["load", false, 1],
        ["height", false, 2],
        ["height", true, 3],
      ]);
      expect(table.rows.map((row) => [row.row, ...row.cells])).toEqual([
        [4, 0, -0.0015, 0.0002],
        [5, 0.02, -0.012, Number.NaN],
      ]);
    }
  });

  test("inch and pound", () => {
    const table = readTable("t.csv", "load (lb),height (in)\n1,2\n");
    expect([...(table.rows[0]?.cells ?? [])]).toEqual([0.45359237, 0.0508]);
  });

  test("every bad cell is named by row, column and value", () => {
    const text = ["load (g),height (mm),length out (mm)", "10,-3,200", "x,-4,200", '20 g,"-5,5",200', "-5,,0", "30,-7,200,9", ""].join(
      "\n",
    );
    const faults = faultsOf(() => readTable("droop.csv", text));
    expect(faults.map((f) => [f.code, f.line, f.column, f.path, f.received])).toEqual([
      ["table.cell", 3, 1, "row 3, load (g)", "x"],
      ["table.cell", 4, 1, "row 4, load (g)", "20 g"],
      ["table.cell", 4, 2, "row 4, height (mm)", "-5,5"],
      ["table.cell", 5, 1, "row 5, load (g)", "-5"],
      ["table.cell", 5, 3, "row 5, length out (mm)", "0"],
      ["table.cell", 5, undefined, "row 5", undefined],
      ["table.cell", 6, undefined, "row 6", undefined],
    ]);
    for (const fault of faults) {
      expect(fault.file).toBe("droop.csv");
      expect(fault.hint).not.toBe("");
    }
    expect(faults[1]?.hint).toContain("unit stands in the heading");
    expect(faults[2]?.hint).toContain("-5.5");
  });

  test.each([
    ["weight (g),height (mm)\n1,2", "table.heading", "load"],
    ["load,height (mm)\n1,2", "table.unit", "load ("],
    ["load (mm),height (mm)\n1,2", "table.unit", "a mass"],
    ["load (g),tension (N)\n1,2", "table.heading", "tension 3"],
    ["load 2 (g),height (mm)\n1,2", "table.heading", "load"],
    ["draw 0 (mm),height (mm)\n1,2", "table.heading", "from 1"],
    ["load (g),height (mm),height (cm)\n1,2,3", "table.heading", "Keep one"],
    ["load (g),load spread (g),height (mm)\n1,2,3", "table.heading", "read off"],
    ["load (g),drop spread (mm),height (mm)\n1,2,3", "table.heading", "reading"],
    ["load (g)\n1", "table.heading", "height"],
    ["bend (deg),draw 1 (mm),height (mm)\n1,2,3", "table.heading", "table of their own"],
    ["hold (N),towards (deg),height (mm)\n1,2,3", "table.heading", "bend"],
    ["hold (N),side (mm),height (mm)\n1,2,3", "table.heading", "load"],
    ["hold (N),drop (mm)\n1,2", "table.heading", "load"],
    ["", "table.empty", "headings"],
    ["# nothing\n", "table.empty", "headings"],
    ["load (g),height (mm)\n", "table.empty", "row"],
  ])("%j: %s, and what to write instead", (text, code, hint) => {
    const faults = faultsOf(() => readTable("t.csv", text));
    expect(faults.map((f) => f.code)).toEqual([code]);
    expect(faults[0]?.hint).toContain(hint);
  });

  test("sections, cables and lengths that the arm does not have, all at once", () => {
    const arm = twinArm({ sections: 2, spans: 6 });
    const table = readTable("t.csv", "draw 7 (mm),length out (mm),tension 9 (N)\n1,100,4\n1,900,4\n1,5,4\n");
    const faults = faultsOf(() => createFit(arm, [table], bench));
    expect(faults.map((f) => [f.code, f.column ?? f.line])).toEqual([
      ["table.arm", 1],
      ["table.arm", 3],
      ["table.arm", 3],
      ["table.arm", 4],
    ]);
    expect(createArm(arm).cables).toBe(6);
    // six gaps of 2.5 mm in the first section
    const far = faultsOf(() => createFit(arm, [readTable("t.csv", "draw 1 (mm),tension 1 (N)\n14.9,4\n15.1,4\n")], bench));
    expect(far.map((f) => [f.code, f.line, f.path])).toEqual([["table.arm", 3, "row 3, draw 1"]]);
  });
});
