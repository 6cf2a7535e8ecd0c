/** What every drive does by depth and by time, as a table for drives and spreadsheets and as JSON. docs/drive-table.md explains both. */
import { type ArmModel, createArm } from "../arm/index.ts";
import { type Fault, refuse } from "../base/index.ts";
import type { DriveRow, DriveTable } from "../drive/index.ts";
import { writeCsv } from "../formats/index.ts";
import type { Job } from "../job/index.ts";
import { listDrives, type PlanResult } from "../plan/index.ts";
import { exact, group, list, oneOf, text, truth, whole } from "./coding.ts";
import { driveCoding } from "./drive-coding.ts";

const none: DriveTable = { feedRate: Number.NaN, rows: [], ways: [], lives: [] };

/** The plan's own table; made of its depths where it holds none. */
export function driveTableOf(job: Job, result: PlanResult, arm: ArmModel = createArm(job.arm)): DriveTable {
  return result.drives ?? listDrives(job, arm, result.wayIn, result.wayOut) ?? none;
}

/** 1e-9 of a metre, radian, newton: below what any drive can set. */
const round = (value: number): number => Math.round(value * 1e9) / 1e9 + 0;

const ofCable = [
  ["DriveN", "tension"],
  ["MostN", "most"],
  ["DrawnM", "length"],
  ["StretchM", "stretch"],
  ["Turns", "turns"],
  ["Counts", "counts"],
  ["RoundingM", "error"],
  ["SpeedMPerS", "speed"],
  ["SpoolRadPerS", "turnRate"],
  ["SpoolNm", "torque"],
  ["MotorNm", "motorTorque"],
  ["MotorMostNm", "motorMost"],
  ["PowerW", "power"],
] as const satisfies readonly (readonly [string, keyof DriveRow])[];

/** The way in from the port inwards, then the way out from the target outwards; a header alone when no depth was solved. */
export function driveTableCsv(job: Job, result: PlanResult): string {
  const arm = createArm(job.arm);
  const names = Array.from({ length: arm.cables }, (_, c) => cableName(c, arm.cables));
  const heads = ["depthM", "way", "timeS", "feedMPerS", "feedCounts", "feedN", "rollRad", "rollCounts", "rollNm"];
  const entries = [...result.wayIn, ...result.wayOut].map((record) => record.tension);
  const rows = driveTableOf(job, result, arm).rows.map((row, k): (string | number)[] => [
    round(row.depth), row.way, round(row.time), round(row.feedRate), row.feedCounts, round(row.feedForce), round(row.roll), row.rollCounts, round(row.rollTorque),
    ...names.flatMap((_, c) => [round(entries[k]![c]!), ...ofCable.map(([, key]) => round(row[key][c]!))]),
  ]); // biome-ignore format: one list
  return writeCsv([[...heads, ...names.flatMap((name) => [`${name}TensionN`, ...ofCable.map(([head]) => `${name}${head}`)])], ...rows]);
}

/** Cables are counted from 1, as everywhere that people read; names sort as they count. */
function cableName(index: number, count: number): string {
  return `cable${String(index + 1).padStart(Math.max(2, String(count).length), "0")}`;
}

/** The table with what it is of. */
export interface DriveFile {
  readonly version: 1;
  readonly withy: string;
  readonly job: string;
  readonly arm: string;
  readonly simulated: true;
  readonly cables: readonly { readonly number: number; readonly section: number }[];
  readonly table: DriveTable;
}

const fileCoding = group<DriveFile>({
  version: oneOf(1),
  withy: text,
  job: text,
  arm: text,
  simulated: truth as never,
  cables: list(group<DriveFile["cables"][number]>({ number: whole, section: whole })),
  table: driveCoding(exact, exact).driveTable,
});

/** To the last bit: what is read back is what was written. */
export function driveTableJson(job: Job, result: PlanResult): string {
  const arm = createArm(job.arm);
  const file: DriveFile = {
    version: 1,
    withy: result.withy,
    job: result.job,
    arm: result.arm,
    simulated: true,
    cables: Array.from(arm.sectionOfCable, (section, c) => ({ number: c + 1, section: section + 1 })),
    table: driveTableOf(job, result, arm),
  };
  return `${JSON.stringify(fileCoding.write(file))}\n`;
}

/** @throws InputError `plan.text`, `plan.content` with every fault */
export function readDriveTableJson(written: string): DriveFile {
  let raw: unknown;
  try {
    raw = JSON.parse(written);
  } catch (error) {
    refuse([
      {
        code: "plan.text",
        path: "",
        problem: `is no JSON: ${(error as Error).message}.`,
        hint: "Write the table again; it may have been cut off.",
      },
    ]);
  }
  const faults: Fault[] = [];
  const file = fileCoding.read(raw, "", faults);
  refuse(faults);
  return file;
}
