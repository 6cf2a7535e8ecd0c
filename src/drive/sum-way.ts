/** One way in a few numbers: its time, what holds it up, its greatest speeds, its work. */
import type { ArmModel } from "../arm/index.ts";
import { backShare } from "./load-gear.ts";
import type { Brake, DriveRequest, DriveRow, WaySum } from "./model.ts";
import type { TimeLaw } from "./time-feed.ts";

/** @param rows at least one @param law undefined where nothing is timed */
export function sumWay(
  { arm, feedRate = Number.NaN }: DriveRequest,
  way: "in" | "out",
  rows: readonly DriveRow[],
  law: TimeLaw | undefined,
): WaySum {
  const first = rows[0] as DriveRow;
  const last = rows[rows.length - 1] as DriveRow;
  const turned = arm.description.drives?.spool !== undefined;
  const spools = (values: Float64Array | undefined): Float64Array =>
    turned && values !== undefined ? values.slice(0, arm.cables) : new Float64Array(arm.cables).fill(Number.NaN);
  const [work, motorWork] = workOf(arm, rows);
  const brake = law === undefined ? undefined : brakeOf(arm, law, rows);
  return {
    way,
    time: last.time,
    timeAsked: Math.abs(last.depth - first.depth) / feedRate,
    turnRate: spools(law?.speed),
    turnAcceleration: spools(law?.acceleration),
    turnRateAsked: spools(law?.steepest.map((value) => value * feedRate)),
    work,
    motorWork,
    ...(brake === undefined ? {} : { brake }),
  };
}

/**
 * Tension times what is drawn in, from depth to depth, over all cables: at the spools, and at the motors, which pay for the gears both ways.
 *
 * @returns J
 */
export function workOf(arm: ArmModel, rows: readonly DriveRow[]): [work: number, motorWork: number] {
  const efficiency = arm.description.drives?.gear?.efficiency ?? 1;
  let work = 0;
  let motorWork = 0;
  for (let k = 1; k < rows.length; k++) {
    const [a, b] = [rows[k - 1] as DriveRow, rows[k] as DriveRow];
    for (let c = 0; c < arm.cables; c++) {
      const done = (((a.tension[c] as number) + (b.tension[c] as number)) / 2) * ((b.length[c] as number) - (a.length[c] as number));
      work += done;
      motorWork += done > 0 ? done / efficiency : done * backShare(efficiency);
    }
  }
  return [work, motorWork];
}

function brakeOf(arm: ArmModel, { slowest }: TimeLaw, rows: readonly DriveRow[]): Brake | undefined {
  const { drive, rate, by, sample } = slowest;
  if (drive < 0) return undefined;
  const what = drive < arm.cables ? "cable" : drive === arm.cables ? "feed" : "roll";
  return { depth: (rows[sample] as DriveRow).depth, rate, drive: what, cable: what === "cable" ? drive : -1, by };
}
