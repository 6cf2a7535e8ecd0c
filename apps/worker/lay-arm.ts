/** How a straight arm lies for the maps, and what its directions are called there. */
import { createFrameAlong } from "../../src/math/index.ts";
import type { ArmAsk, LoadWay } from "./protocol-maps.ts";

type Vector = readonly [number, number, number];

export interface Laid {
  /** [12] frame at the guide's exit */
  readonly exit: Float64Array;
  /** [3] unit, world */
  readonly ways: Readonly<Record<LoadWay, Vector>>;
  readonly names: readonly [down: string, left: string, up: string, right: string];
  /** rad from down towards left */
  readonly turn: number;
}

export function layArm({ gravity, portAxis, lies }: Pick<ArmAsk, "gravity" | "portAxis" | "lies">): Laid {
  const g = Math.sqrt(dot(gravity, gravity));
  const down: Vector = g > 0 ? scale(gravity, 1 / g) : [0, 0, -1];
  const exit = createFrameAlong([0, 0, 0], axisOf(lies, down, portAxis));
  const column = (k: number): Vector => [exit[k] as number, exit[3 + k] as number, exit[6 + k] as number];
  const ahead = column(2);
  const across = add(down, scale(ahead, -dot(down, ahead)));
  const size = Math.sqrt(dot(across, across));
  const byGravity = g > 0 && size > 1e-3;
  const low = byGravity ? scale(across, 1 / size) : column(1);
  const left = cross(ahead, low);
  const x = column(0);
  return {
    exit,
    ways: { down: low, up: scale(low, -1), left, right: scale(left, -1), outwards: ahead, inwards: scale(ahead, -1) },
    names: byGravity ? ["down", "left", "up", "right"] : ["y", "\u2212x", "\u2212y", "x"],
    turn: Math.atan2(dot(x, left), dot(x, low)),
  };
}

/** In the plane across the arm. @param angle rad from down towards left */
export function wayAcross({ ways }: Laid, angle: number): Vector {
  return add(scale(ways.down, Math.cos(angle)), scale(ways.left, Math.sin(angle)));
}

function axisOf(lies: ArmAsk["lies"], down: Vector, portAxis: Vector): Vector {
  if (lies === "port") return portAxis;
  if (lies === "hanging") return down;
  if (lies === "standing") return scale(down, -1);
  const seed: Vector = Math.abs(down[0]) < 0.9 ? [1, 0, 0] : [0, 1, 0];
  const level = add(seed, scale(down, -dot(seed, down)));
  return scale(level, 1 / Math.sqrt(dot(level, level)));
}

function dot(a: Vector, b: Vector): number {
  return a[0] * b[0] + a[1] * b[1] + a[2] * b[2];
}

function add(a: Vector, b: Vector): Vector {
  return [a[0] + b[0], a[1] + b[1], a[2] + b[2]];
}

function scale(a: Vector, by: number): Vector {
  return [by * a[0], by * a[1], by * a[2]];
}

function cross(a: Vector, b: Vector): Vector {
  return [a[1] * b[2] - a[2] * b[1], a[2] * b[0] - a[0] * b[2], a[0] * b[1] - a[1] * b[0]];
}
