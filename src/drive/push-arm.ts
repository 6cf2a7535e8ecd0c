/** What feed and roll have to hold of the arm: its weight and what it leans on, along the port's axis and about it. */
import type { ArmModel } from "../arm/index.ts";
import type { DepthRecord } from "../insertion/index.ts";
import type { DriveRequest } from "./model.ts";

export interface Push {
  /** on the arm by the feed, inwards > 0, N */
  readonly force: number;
  /** N m about the port's axis, by the roll drive on the arm */
  readonly torque: number;
}

/** Friction on what it leans on holds against the motion. The fluid's lift, the guide's friction, and pack and conduits outside are left out. */
export function pushArm(request: DriveRequest, record: DepthRecord, way: "in" | "out"): Push {
  const { arm, gravity, wallFriction = 0 } = request;
  const wrench = { force: 0, torque: 0 };
  for (let i = 0; i <= arm.spans; i++) add(wrench, request, record.frames, 12 * i + 9, gravity, arm.mass[i] as number);
  add(wrench, request, toolCentre(arm, record), 0, gravity, arm.description.tool.mass);
  let rubbed = 0;
  const { contact } = record;
  for (let k = 0; contact !== undefined && k < contact.body.length; k++) {
    const push = contact.force.subarray(3 * k, 3 * k + 3);
    add(wrench, request, contact.place, 3 * k, push, 1);
    rubbed += wallFriction * Math.sqrt(push.reduce((sum, x) => sum + x * x, 0));
  }
  const wound = record.wound === undefined ? 0 : Math.sign(record.roll) * record.wound.moment;
  return { force: -wrench.force + (way === "in" ? rubbed : -rubbed), torque: -wrench.torque + wound };
}

function add(
  wrench: { force: number; torque: number },
  { axis, exit }: DriveRequest,
  places: ArrayLike<number>,
  at: number,
  push: ArrayLike<number>,
  times: number,
): void {
  const [x, y, z] = [0, 1, 2].map((r) => (places[at + r] as number) - (exit[r] as number)) as [number, number, number];
  const [fx, fy, fz] = [0, 1, 2].map((r) => times * (push[r] as number)) as [number, number, number];
  wrench.force += fx * axis[0] + fy * axis[1] + fz * axis[2];
  wrench.torque += (y * fz - z * fy) * axis[0] + (z * fx - x * fz) * axis[1] + (x * fy - y * fx) * axis[2];
}

function toolCentre(arm: ArmModel, { frames }: DepthRecord): number[] {
  const f = 12 * arm.spans;
  const [cx, cy, cz] = arm.description.tool.centre;
  return [0, 1, 2].map(
    (r) =>
      (frames[f + 9 + r] as number) +
      (frames[f + 3 * r] as number) * cx +
      (frames[f + 3 * r + 1] as number) * cy +
      (frames[f + 3 * r + 2] as number) * cz,
  );
}
