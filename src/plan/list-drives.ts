/** What the drives have to do at the depths of a plan. */
import type { ArmModel } from "../arm/index.ts";
import { createDriveTable, type DriveTable } from "../drive/index.ts";
import type { DepthRecord } from "../insertion/index.ts";
import type { Job } from "../job/index.ts";
import { exitOf } from "./lay-launch.ts";

/** Undefined where nothing was laid. */
export function listDrives(job: Job, arm: ArmModel, wayIn: readonly DepthRecord[], wayOut: readonly DepthRecord[]): DriveTable | undefined {
  if (wayIn.length === 0) return undefined;
  const exit = exitOf(job);
  const { feedRate, gravity, wallFriction } = job.conditions;
  const request = {
    arm,
    gravity,
    axis: exit.axis,
    exit: exit.at,
    ...(feedRate === undefined ? {} : { feedRate }),
    ...(wallFriction === undefined ? {} : { wallFriction: wallFriction.high }),
  };
  return createDriveTable(request, wayIn, wayOut);
}
