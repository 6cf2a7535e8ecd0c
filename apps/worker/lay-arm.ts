/** How an arm lies for the maps, at every length out, and what its directions are called there. */
import type { ArmModel } from "../../src/arm/index.ts";
import { refuse } from "../../src/base/index.ts";
import { createFrameAlong } from "../../src/math/index.ts";
import type { ArmAsk, LoadWay, Pose } from "./protocol-maps.ts";

type Vector = readonly [number, number, number];

/** The arm at one length out. */
export interface Laid {
  /** m, from the guide's exit to the tool point along the straight arm */
  readonly length: number;
  /** [12] frame at the guide's exit, world; of an arm that lies straight its place is the origin */
  readonly exit: Float64Array;
  /** [section, 2] rad */
  readonly bend: Float64Array;
  /** [3] unit, world */
  readonly ways: Readonly<Record<LoadWay, Vector>>;
  readonly names: readonly [down: string, left: string, up: string, right: string];
  /** the end's own x, rad from down towards left */
  readonly turn: number;
}

/** The order in which 13 places evenly apart are gone through: the far apart ones first. */
const coarseFirst = [12, 0, 6, 3, 9, 1, 5, 8, 11, 2, 4, 7, 10];

/**
 * The lengths that are looked at: from a quarter of the arm to all of it, or so of the plan's depths. All that is out comes first.
 *
 * @throws InputError `capacity.value` when the plan's shapes are those of an arm with other sections, or there are none
 */
export function layArm(ask: Pick<ArmAsk, "gravity" | "portCentre" | "portAxis" | "lies" | "poses">, arm: ArmModel): Laid[] {
  const whole = (arm.along[arm.spans] as number) + arm.description.tool.length;
  const last = arm.spans - 1;
  const least = arm.description.tool.length + (arm.tail[last] as number) + (arm.flexible[last] as number);
  if (ask.lies !== "planned") {
    const exit = createFrameAlong([0, 0, 0], axisOf(ask.lies, downOf(ask), ask.portAxis));
    const bend = new Float64Array(2 * arm.sections);
    return coarseFirst.map((k) => ({ length: Math.max(least, whole * (0.25 + (0.75 * k) / 12)), exit, bend, ...waysOf(ask, exit) }));
  }
  const deepest = (ask.poses ?? []).reduce((most, { depth }) => Math.max(most, depth), 0);
  // a short end carries so much that nothing else could be told beside it
  const poses = (ask.poses ?? []).filter(({ depth }) => depth >= Math.max(least, 0.25 * deepest) && depth <= whole * (1 + 1e-9));
  checkPoses(arm.sections, ask.poses ?? [], poses);
  const chosen = [...new Set(coarseFirst.map((k) => Math.round((k * (poses.length - 1)) / 12)))].map((k) => poses[k] as Pose);
  return chosen.map(({ base, tip, bend, depth }) => {
    // straight within the guide: turned at its exit as at the base
    const exit = base.slice();
    exit.set(ask.portCentre, 9);
    return { length: Math.min(whole, depth), exit, bend, ...waysOf(ask, tip) };
  });
}

/** In the plane across the arm's end. @param angle rad from down towards left */
export function wayAcross({ ways }: Laid, angle: number): Vector {
  return add(scale(ways.down, Math.cos(angle)), scale(ways.left, Math.sin(angle)));
}

/** @param end [12] frame of the arm's end */
function waysOf(ask: Pick<ArmAsk, "gravity">, end: Float64Array): Pick<Laid, "ways" | "names" | "turn"> {
  const down = downOf(ask);
  const column = (k: number): Vector => [end[k] as number, end[3 + k] as number, end[6 + k] as number];
  const ahead = column(2);
  const across = add(down, scale(ahead, -dot(down, ahead)));
  const size = Math.sqrt(dot(across, across));
  const byGravity = dot(ask.gravity, ask.gravity) > 0 && size > 1e-3;
  const low = byGravity ? scale(across, 1 / size) : column(1);
  const left = cross(ahead, low);
  const x = column(0);
  return {
    ways: { down: low, up: scale(low, -1), left, right: scale(left, -1), outwards: ahead, inwards: scale(ahead, -1) },
    names: byGravity ? ["down", "left", "up", "right"] : ["y", "\u2212x", "\u2212y", "x"],
    turn: Math.atan2(dot(x, left), dot(x, low)),
  };
}

function checkPoses(sections: number, all: readonly Pose[], fit: readonly Pose[]): void {
  const planned = (all[0]?.bend.length ?? 0) / 2;
  if (planned === sections && fit.length > 0) return;
  const problem =
    planned === 0
      ? "lies as planned, and there is no plan."
      : planned !== sections
        ? `has ${sections} sections, and the plan is that of an arm with ${planned}.`
        : "is shorter than any depth of the plan.";
  refuse([
    { code: "capacity.value", path: "lies", problem, hint: "Plan the way in for this arm, or let it lie straight.", received: "planned" },
  ]);
}

function downOf({ gravity }: Pick<ArmAsk, "gravity">): Vector {
  const g = Math.sqrt(dot(gravity, gravity));
  return g > 0 ? scale(gravity, 1 / g) : [0, 0, -1];
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
