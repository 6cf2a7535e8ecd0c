import { readFileSync } from "node:fs";
import { csvParseRows } from "d3-dsv";
import { describe, expect, test } from "vitest";
import { InputError } from "../../src/base/index.ts";
import { writeCsv } from "../../src/formats/index.ts";
import { driveTableCsv, driveTableJson, driveTableOf, readDriveTableJson } from "../../src/report/index.ts";
import { depths, makeBlocked, makeJob, makePlan } from "./made-plan.ts";

// d3-dsv reads the same RFC 4180 with code of its own
describe("the table of drives", () => {
  const job = makeJob();
  const plan = makePlan(job);
  const rows = csvParseRows(driveTableCsv(job, plan));

  const heads = rows[0]!;
  const column = (head: string): number => {
    const at = heads.indexOf(head);
    expect(at, head).toBeGreaterThanOrEqual(0);
    return at;
  };

  test("names every column with its unit, cables counted from 1; docs/drive-table.md explains each", () => {
    const own = ["TensionN", "DriveN", "MostN", "DrawnM", "StretchM", "Turns", "Counts", "RoundingM", "SpeedMPerS", "SpoolRadPerS", "SpoolNm", "MotorNm", "MotorMostNm", "PowerW"]; // biome-ignore format: one list
    expect(heads).toEqual([
      ..."depthM way timeS feedMPerS feedCounts feedN rollRad rollCounts rollNm".split(" "),
      ...[1, 2, 3, 4, 5, 6].flatMap((c) => own.map((head) => `cable0${c}${head}`)),
    ]);
    for (const row of rows) expect(row.length).toBe(heads.length);
    const doc = readFileSync(new URL("../../docs/drive-table.md", import.meta.url), "utf8");
    const told = [...doc.matchAll(/`([^`]+)`/g)].map((found) => found[1]);
    for (const head of heads.filter((one) => !/^cable0[2-6]/.test(one))) expect(told).toContain(head);
  });

  test("holds every depth of the way in and the way out, to 1e-9; what is not told is empty", () => {
    expect(rows.length).toBe(1 + 2 * depths.length);
    expect(rows.slice(1).map((row) => row[1])).toEqual([...depths.map(() => "in"), ...depths.map(() => "out")]);
    [...plan.wayIn, ...plan.wayOut].forEach((record, k) => {
      const row = rows[k + 1]!;
      const near = (head: string, value: number): void => expect(Math.abs(Number(row[column(head)]) - value), head).toBeLessThan(1e-9);
      near("depthM", record.depth);
      near("rollRad", record.roll);
      record.tension.forEach((tension, c) => {
        near(`cable0${c + 1}TensionN`, tension);
        near(`cable0${c + 1}DriveN`, record.rub?.drive[c] ?? tension);
        near(`cable0${c + 1}MostN`, record.rub?.most[c] ?? tension);
        near(`cable0${c + 1}DrawnM`, record.drawn[c]!);
      });
      expect(row[column("timeS")]).toBe("");
      expect(row[column("cable01Turns")]).toBe("");
    });
  });

  test("drives.json comes back to the last bit, with drives and without", () => {
    const motored = { ...job, arm: { ...job.arm, drives: { spool: { radius: 12e-3 }, gear: { ratio: 30, efficiency: 0.7 }, motor: { counts: 2048 } } }, conditions: { ...job.conditions, feedRate: 3e-3 } }; // biome-ignore format: one job
    for (const one of [job, motored]) {
      const text = driveTableJson(one, plan);
      const back = readDriveTableJson(text);
      expect(back.table).toEqual(driveTableOf(one, plan));
      expect(back.cables.map(({ number, section }) => [number, section])).toEqual([1, 2, 3, 4, 5, 6].map((c) => [c, c < 4 ? 1 : 2]));
      expect(JSON.stringify(JSON.parse(text))).toBe(text.trim());
      expect(text).not.toMatch(/NaN|Infinity/);
    }
    expect(driveTableOf(motored, plan).rows[1]!.counts[0]).not.toBeNaN();
    expect(() => readDriveTableJson('{"version":1}')).toThrow(InputError);
  });

  test("ends every line with CR LF (RFC 4180, 2.1 and 2.2), and is a header alone where nothing was laid", () => {
    const text = driveTableCsv(job, plan);
    expect(text.endsWith("\r\n")).toBe(true);
    expect(text.replaceAll("\r\n", "")).not.toMatch(/[\r\n]/);
    expect(csvParseRows(driveTableCsv(job, makeBlocked(job))).length).toBe(1);
  });

  test("quotes what RFC 4180 (2.5 to 2.7) says, and reads back", () => {
    expect(writeCsv([["aaa", "b\r\nbb", "ccc"], ['b"b', "x,y", 3]])).toBe('aaa,"b\r\nbb",ccc\r\n"b""b","x,y",3\r\n'); // biome-ignore format: one table
    expect(csvParseRows('aaa,"b\r\nbb",ccc\r\n"b""b","x,y",3\r\n')).toEqual([["aaa", "b\r\nbb", "ccc"], ['b"b', "x,y", "3"]]); // biome-ignore format: one table
    expect(writeCsv([[Number.NaN, Number.POSITIVE_INFINITY, -0.5]])).toBe(",,-0.5\r\n");
  });
});
