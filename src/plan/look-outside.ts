/** The room outside the port, measured once the way in stands. */
import { frameBehind, tubeLength } from "../insertion/index.ts";
import type { Job } from "../job/index.ts";
import { type Entry, measureOutside, type OutsideFact } from "../outside/index.ts";
import { exitOf } from "./lay-launch.ts";
import type { PlanModel, PlanState } from "./model.ts";

/** @returns undefined where the job says nothing of it, or before there is a way in or none was found */
export function outsideOf(model: PlanModel, state: PlanState): OutsideFact | undefined {
  const { job, arm, space } = model;
  if (job.outside === undefined) return undefined;
  const { insertion } = state;
  const whole = insertion !== undefined && insertion.stage === "done" && insertion.failure === "";
  if (state.outside !== undefined && (!whole || !Number.isNaN(state.outside.feed))) return state.outside;
  const exit = exitOf(job);
  const tube = model.launch?.tube ?? new Float64Array(0);
  let turn = 0;
  for (let o = 0; o < tube.length; o += 3) turn += (tube[o] as number) * Math.hypot(tube[o + 1] as number, tube[o + 2] as number);
  state.outside = measureOutside(
    job.outside,
    arm,
    { ...space, parts: space.parts.map((part) => ({ ...part, keep: 0 })) },
    entryOf(model),
    {
      arm,
      gravity: job.conditions.gravity,
      exit: exit.at,
      axis: exit.axis,
      wallFriction: job.conditions.wallFriction?.high ?? 0,
      guideFriction: job.outside.guideFriction,
      guideLength: job.guideLength,
      tubeTurn: turn,
    },
    whole ? insertion.wayIn : [],
  );
  return state.outside;
}

/** Where the guide begins, seen from outside. */
function entryOf({ job, launch, port }: PlanModel): Entry {
  const frame = new Float64Array(12);
  const tube = launch?.tube ?? new Float64Array(0);
  frameBehind({ tube }, port, tubeLength(tube) + job.guideLength, frame);
  const out = [2, 5, 8].map((k) => -(frame[k] as number));
  const up = upright(job, out);
  const across = [0, 1, 2].map(
    (i) => (up[(i + 1) % 3] as number) * (out[(i + 2) % 3] as number) - (up[(i + 2) % 3] as number) * (out[(i + 1) % 3] as number),
  );
  return { at: [frame[9] as number, frame[10] as number, frame[11] as number], out: three(out), across: three(across), up: three(up) };
}

/** Against gravity as far as square to the axis; along a level axis of the world where the port looks straight up or down. */
function upright({ conditions }: Job, out: readonly number[]): number[] {
  for (const wanted of [conditions.gravity.map((value) => -value), [0, 1, 0], [1, 0, 0]]) {
    const along = wanted.reduce((sum, value, i) => sum + value * (out[i] as number), 0);
    const flat = wanted.map((value, i) => value - along * (out[i] as number));
    const size = Math.hypot(...flat);
    if (size > 1e-3 * Math.hypot(...wanted) && size > 0) return flat.map((value) => value / size);
  }
  return [0, 0, 1];
}

function three(values: readonly number[]): readonly [number, number, number] {
  return values as unknown as readonly [number, number, number];
}
