import { csvParseRows } from "d3-dsv";
import { describe, expect, test } from "vitest";
import { writeCsv } from "../../src/formats/index.ts";
import { cableTableCsv } from "../../src/report/index.ts";
import { depths, makeBlocked, makeJob, makePlan } from "./made-plan.ts";

// d3-dsv reads the same RFC 4180 with code of its own
describe("the table of cables", () => {
  const job = makeJob();
  const plan = makePlan(job);
  const rows = csvParseRows(cableTableCsv(job, plan));

  test("names every column with its unit, cables counted from 1", () => {
    expect(rows[0]).toEqual([
      "depthM",
      "way",
      "rollRad",
      ...[1, 2, 3, 4, 5, 6].flatMap((c) => [`cable0${c}TensionN`, `cable0${c}DriveN`, `cable0${c}DrawnM`]),
    ]);
    for (const row of rows) expect(row.length).toBe(3 + 3 * 6);
  });

  test("holds every depth of the way in and the way out, to 1e-9", () => {
    expect(rows.length).toBe(1 + 2 * depths.length);
    expect(rows.slice(1).map((row) => row[1])).toEqual([...depths.map(() => "in"), ...depths.map(() => "out")]);
    [...plan.wayIn, ...plan.wayOut].forEach((record, k) => {
      const row = rows[k + 1]!.map(Number);
      expect(Math.abs(row[0]! - record.depth)).toBeLessThan(1e-9);
      expect(Math.abs(row[2]! - record.roll)).toBeLessThan(1e-9);
      record.tension.forEach((tension, c) => expect(Math.abs(row[3 + 3 * c]! - tension)).toBeLessThan(1e-9));
      record.tension.forEach((tension, c) => expect(Math.abs(row[4 + 3 * c]! - (record.rub?.drive[c] ?? tension))).toBeLessThan(1e-9));
      record.drawn.forEach((drawn, c) => expect(Math.abs(row[5 + 3 * c]! - drawn)).toBeLessThan(1e-9));
    });
  });

  test("ends every line with CR LF (RFC 4180, 2.1 and 2.2), and is a header alone where nothing was laid", () => {
    const text = cableTableCsv(job, plan);
    expect(text.endsWith("\r\n")).toBe(true);
    expect(text.replaceAll("\r\n", "")).not.toMatch(/[\r\n]/);
    expect(csvParseRows(cableTableCsv(job, makeBlocked(job))).length).toBe(1);
  });

  test("quotes what RFC 4180 (2.5 to 2.7) says, and reads back", () => {
    expect(writeCsv([["aaa", "b\r\nbb", "ccc"], ['b"b', "x,y", 3]])).toBe('aaa,"b\r\nbb",ccc\r\n"b""b","x,y",3\r\n'); // biome-ignore format: one table
    expect(csvParseRows('aaa,"b\r\nbb",ccc\r\n"b""b","x,y",3\r\n')).toEqual([["aaa", "b\r\nbb", "ccc"], ['b"b', "x,y", "3"]]); // biome-ignore format: one table
    expect(writeCsv([[Number.NaN, Number.POSITIVE_INFINITY, -0.5]])).toBe(",,-0.5\r\n");
  });
});
