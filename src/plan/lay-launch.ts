/** Where the arm becomes free, and what it comes through before that. */
import type { ArmModel } from "../arm/index.ts";
import { type DrumModel, layCoil } from "../drum/index.ts";
import { frameBehind, type Launch, layTube, tubeLength } from "../insertion/index.ts";
import type { GuideTube, Job } from "../job/index.ts";
import { createFrameAlong } from "../math/index.ts";

/** Where the arm leaves its guide: at the port, or at the end of its guide tube. */
export interface Exit {
  /** [3] m, world */
  readonly at: readonly [number, number, number];
  /** [3] unit vector, the way the arm goes there, world */
  readonly axis: readonly [number, number, number];
  /** length of the arm that stays in guide and tube when it is out as far as it goes, m */
  readonly inside: number;
}

export function exitOf({ port, launch, guideLength }: Job): Exit {
  const points = launch?.tube?.points;
  if (points === undefined) return { at: port.centre, axis: port.axis, inside: guideLength };
  const exit = endOf(points);
  return { ...exit, inside: guideLength + tubeLength(layTube({ points }, createFrameAlong(exit.at, exit.axis))) };
}

function endOf(points: GuideTube["points"]): Pick<Exit, "at" | "axis"> {
  const end = points[points.length - 1] as (typeof points)[number];
  const before = points[points.length - 2] as (typeof points)[number];
  const along = [0, 1, 2].map((r) => (end.at[r] as number) - (before.at[r] as number));
  return { at: end.at, axis: along.map((value) => value / Math.hypot(...along)) as unknown as Exit["axis"] };
}

/** [point, 3] of a tube's centre line from its entry to its exit, two millimetres apart or less, m, world: to be drawn. */
export function tubeLine({ points }: GuideTube): Float64Array {
  const exit = endOf(points);
  const port = createFrameAlong(exit.at, exit.axis);
  const tube = layTube({ points }, port);
  const length = tubeLength(tube);
  const count = Math.max(2, Math.ceil(length / 2e-3) + 1);
  const drawn = new Float64Array(3 * count);
  const frame = new Float64Array(12);
  for (let k = 0; k < count; k++) {
    frameBehind({ tube }, port, (length * (count - 1 - k)) / (count - 1), frame);
    drawn.set(frame.subarray(9, 12), 3 * k);
  }
  return drawn;
}

/**
 * @param port [12] frame of the exit
 * @returns undefined where the guide is straight and no drum stands behind it
 */
export function layLaunch(
  { launch, guideLength }: Job,
  arm: ArmModel,
  drum: DrumModel | undefined,
  port: Float64Array,
): Launch | undefined {
  if (launch === undefined) return undefined;
  const tube = launch.tube === undefined ? new Float64Array(0) : layTube(launch.tube, port);
  if (!launch.drum || drum === undefined) return launch.tube === undefined ? undefined : { tube };
  const drumBend = layCoil(arm, drum.request.drum, drum.roll).bend;
  return { tube, drumFrom: tubeLength(tube) + guideLength, drumBend };
}
