/** `withy drives`: what every drive has to do for a plan, as a table, and how long it takes. */
import { readFileSync } from "node:fs";
import { createArm, nameCable } from "../../src/arm/index.ts";
import { formatQuantity, type QuantityKind, readQuantity, refuse } from "../../src/base/index.ts";
import type { DriveTable } from "../../src/drive/index.ts";
import type { Job } from "../../src/job/index.ts";
import { listDrives, type PlanResult } from "../../src/plan/index.ts";
import type { CommonOptions, Console } from "./console.ts";
import { exitCodeOf } from "./exit-codes.ts";
import { layTable } from "./lay-table.ts";
import { planJob } from "./plan-job.ts";
import { openJob } from "./read-files.ts";
import { checkPlace, writeWhole } from "./write-whole.ts";

export interface DriveOptions extends CommonOptions {
  readonly feedRate?: string;
  readonly plan?: string;
  readonly out?: string;
}

/** Plans the job, or takes a plan that was written before, and times it anew at the rate asked for. Ends as `plan` does. */
export async function drives(path: string, options: DriveOptions, console: Console): Promise<number> {
  const opened = (await openJob(path, console.signal)).job;
  if (options.out !== undefined) checkPlace(options.out);
  const job = options.feedRate === undefined ? opened : withRate(opened, options.feedRate);
  const { driveTableCsv, driveTableJson, readPlanJson } = await import("../../src/report/index.ts");
  const planned =
    options.plan === undefined
      ? await planJob(job, { turns: 0, faults: false, seek: false }, console)
      : readPlanJson(readFileSync(options.plan, "utf8"));
  if (options.plan !== undefined) checkSame(job, planned);
  const arm = createArm(job.arm);
  const table = listDrives(job, arm, planned.wayIn, planned.wayOut);
  const { drives: _, ...bare } = planned;
  const result: PlanResult = table === undefined ? bare : { ...bare, drives: table };
  const written =
    options.out === undefined
      ? []
      : await writeWhole(
          options.out,
          [
            { name: "drives.csv", content: driveTableCsv(job, result) },
            { name: "drives.json", content: driveTableJson(job, result) },
          ],
          console,
        );
  if (options.json) console.out(driveTableJson(job, result));
  else {
    console.out(table === undefined ? "Nothing was laid: there is nothing for the drives to do.\n" : sayDrives(job, table, options));
    if (written.length > 0) console.out(`\nWritten: ${written.join(", ")}\n`);
  }
  return exitCodeOf(planned.verdict.answer);
}

function withRate(job: Job, written: string): Job {
  const read = readQuantity(written, "velocity");
  if ("code" in read) refuse([{ ...read, path: "--feed-rate" }]);
  else if (!(read.nominal > 0))
    refuse([
      {
        code: "command.option",
        path: "--feed-rate",
        problem: `is ${written}.`,
        hint: "Give a speed above 0, as 3mm/s.",
        received: written,
      },
    ]);
  else return { ...job, conditions: { ...job.conditions, feedRate: read.nominal } };
  return job;
}

/** A plan of other files is no plan of this job. */
function checkSame(job: Job, planned: PlanResult): void {
  const before = new Map(planned.inputs.map(({ file, hash }) => [file, hash]));
  const changed = job.inputs.filter(({ file, hash }) => before.get(file) !== hash).map(({ file }) => file);
  if (changed.length === 0) return;
  refuse([
    {
      code: "command.option",
      path: "--plan",
      problem: `was made from other contents of ${changed.join(", ")}.`,
      hint: "Plan the job again.",
    },
  ]);
}

function sayDrives(job: Job, table: DriveTable, { units }: CommonOptions): string {
  const arm = createArm(job.arm);
  const say = (value: number, kind: QuantityKind): string =>
    Number.isNaN(value) ? "" : formatQuantity(Math.abs(value) < 1e-12 ? 0 : value, kind, units, 3);
  const plain = (value: number): string => (Number.isNaN(value) ? "" : String(Number(value.toFixed(3))));
  const ratio = job.arm.drives?.gear?.ratio ?? 1;
  const range = (of: (row: DriveTable["rows"][number]) => number): [number, number] => {
    const all = table.rows.map(of);
    return [Math.min(...all), Math.max(...all)];
  };
  const lines = Array.from({ length: arm.cables }, (_, c) => {
    const [out, drawn] = range((row) => row.length[c] as number);
    const [turnsOut, turnsIn] = range((row) => row.turns[c] as number);
    const life = table.lives.find(({ cable }) => cable === c);
    return [
      nameCable(arm, c),
      say(-Math.min(0, out), "length"),
      say(Math.max(0, drawn), "length"),
      say(range((row) => row.stretch[c] as number)[1], "length"),
      plain(-Math.min(0, turnsOut)),
      plain(Math.max(0, turnsIn)),
      say(range((row) => row.most[c] as number)[1], "force"),
      say(range((row) => row.motorMost[c] as number)[1], "torque"),
      say(ratio * Math.max(...table.ways.map((way) => way.turnRate[c] as number)), "turn-rate"),
      say(range((row) => Math.abs(row.error[c] as number))[1], "length"),
      life === undefined || Number.isNaN(life.entries) ? "" : String(Number(life.entries.toPrecision(2))),
    ];
  });
  const heads = [
    "drive",
    "paid out",
    "drawn in",
    "stretch",
    "turns out",
    "turns in",
    "pull",
    "motor torque",
    "motor speed",
    "rounding",
    "entries",
  ];
  const ways = table.ways.map(({ way, time, timeAsked, work, motorWork, brake }) => [
    `Way ${way}`,
    Number.isNaN(time) ? "not timed: give a feed-rate" : `${say(time, "time")}, ${say(timeAsked, "time")} at the rate asked for`,
    `work ${Number(work.toPrecision(3))} J, at the motors ${Number(motorWork.toPrecision(3))} J`,
    brake === undefined ? "" : `slowest ${say(brake.rate, "velocity")} near ${say(brake.depth, "length")}: ${brake.drive === "cable" ? nameCable(arm, brake.cable) : `the ${brake.drive}`} by its ${brake.by}`,
  ]); // biome-ignore format: one way a line
  return `${[
    `${job.name}, arm ${job.arm.name}: what the drives have to do; greatest over both ways, simulated.`,
    "",
    layTable([heads, ...lines], heads.map((_, k) => k).slice(1)),
    "",
    ...ways.map((way) => `  ${way.filter((one) => one !== "").join("; ")}.`),
    "",
    "Pull and torque with cable friction at its high end. Entries until a cable is worn by bending round the tightest curve that is told: an estimate, good to a factor of three.",
  ].join("\n")}\n`;
}
