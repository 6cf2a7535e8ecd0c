/** Lengths and tensions of every cable by depth, as a table for drives and spreadsheets. docs/cable-table.md explains the columns. */
import { createArm } from "../arm/index.ts";
import { writeCsv } from "../formats/index.ts";
import type { Job } from "../job/index.ts";
import type { PlanResult } from "../plan/index.ts";

/** 1e-9 of a metre, radian or newton: below what any drive can set. */
const round = (value: number): number => Math.round(value * 1e9) / 1e9 + 0;

/** The way in from the port inwards, then the way out from the target outwards; a header alone when no depth was solved. */
export function cableTableCsv(job: Job, result: PlanResult): string {
  const cables = createArm(job.arm).cables;
  const names = Array.from({ length: cables }, (_, c) => cableName(c, cables));
  const rows: (string | number)[][] = [
    ["depthM", "way", "rollRad", ...names.flatMap((name) => [`${name}TensionN`, `${name}DriveN`, `${name}DrawnM`])],
  ];
  for (const [way, records] of [
    ["in", result.wayIn],
    ["out", result.wayOut],
  ] as const) {
    for (const record of records) {
      const cells = names.flatMap((_, c) => [
        round(record.tension[c]!),
        round(record.rub?.drive[c] ?? record.tension[c]!),
        round(record.drawn[c]!),
      ]);
      rows.push([round(record.depth), way, round(record.roll), ...cells]);
    }
  }
  return writeCsv(rows);
}

/** Cables are counted from 1, as everywhere that people read; names sort as they count. */
function cableName(index: number, count: number): string {
  return `cable${String(index + 1).padStart(Math.max(2, String(count).length), "0")}`;
}
