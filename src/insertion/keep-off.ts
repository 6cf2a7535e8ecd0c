/** How near any shape of the arm comes to what must not be touched, at it and on the way to another: for shapes that no plan laid. */
import { pointOf } from "../math/index.ts";
import { sampleSpace } from "../space/index.ts";
import { clearanceReach } from "./hull.ts";
import type { InsertionModel } from "./model.ts";
import { boundAlong } from "./sweep-between.ts";
import { takeOffPlay } from "./take-off-play.ts";
import { measureViews, needOf, type Spares, tightestOf, type View } from "./views.ts";
import type { InsertionWork } from "./work.ts";

/** A shape by its frames, and what it keeps of the bodies that must not be touched. Plain data. */
export interface Kept {
  /** [vertebra, 12] and first vertebra past the exit */
  readonly frames: Float64Array;
  readonly firstFree: number;
  /** [vertebra] guaranteed distance beyond each body's own stand-off, m (what the job asks beyond that is not taken off), and the body */
  readonly spare: Float64Array;
  readonly nearest: Int32Array;
}

/**
 * Of the shape in `work.rod`. One ball a vertebra comes first; where that does not show it clear, its hull is looked at.
 *
 * @param rub [vertebra] what friction may shift its hull by, m
 */
export function keepOff(model: InsertionModel, rub: Float64Array | undefined, work: InsertionWork): Kept {
  const frames = work.rod.frame.slice();
  const { firstFree } = work.rod;
  const { forbidden } = work.views;
  const n = model.arm.spans + 1;
  if (rub === undefined) work.hull.rub.fill(0);
  else work.hull.rub.set(rub);
  let found: Spares | undefined;
  if (forbidden.length > 0) {
    found = ballsOf(model, forbidden, frames, firstFree, work);
    for (let i = 0; i < n; i++) found.spare[i] = (found.spare[i] as number) + needOf(model, found.nearest[i] as number);
    if (tightestOf(found).spare < 0) {
      found = measureViews(model, forbidden, frames, firstFree, 0, work.hull) as Spares;
      for (let i = 0; i < n; i++) found.spare[i] = (found.spare[i] as number) + needOf(model, found.nearest[i] as number);
    }
  }
  work.hull.rub.fill(0);
  found ??= { spare: new Float64Array(n).fill(Number.POSITIVE_INFINITY), nearest: new Int32Array(n).fill(-1) };
  return { frames, firstFree, spare: found.spare, nearest: found.nearest };
}

/** What is kept on the way between two shapes, the arm sliding along itself; vertebrae as in the deeper one. */
export function keepBetween(model: InsertionModel, shallow: Kept, deep: Kept): Spares {
  return boundAlong(model, shallow, deep);
}

/** One ball about each vertebra and half of both hinges beside it, and a row of them along the tool. */
function ballsOf(model: InsertionModel, views: readonly View[], frames: Float64Array, firstFree: number, work: InsertionWork): Spares {
  const { arm } = model;
  const { tool } = arm.description;
  const n = arm.spans + 1;
  const least = { spare: new Float64Array(n).fill(Number.POSITIVE_INFINITY), nearest: new Int32Array(n).fill(-1) };
  const first = Math.max(firstFree, 1);
  const rows = Math.min(n, 1 + Math.ceil(tool.length / Math.max(tool.diameter, 1e-3)));
  const { points, answer } = work;
  for (const view of views) {
    const count = n - first;
    for (let i = first; i < n; i++) pointOf(frames, i, 0, 0, 0, points, 3 * (i - first));
    sampleSpace(view.space, points, count, clearanceReach, answer, view.work);
    for (let k = 0; k < count; k++) {
      const i = first + k;
      const back = (arm.tail[i - 1] as number) + (arm.flexible[i - 1] as number) / 2;
      const on = i < arm.spans ? (arm.lead[i] as number) + (arm.flexible[i] as number) / 2 : (arm.tail[i - 1] as number);
      note(view, k, i, Math.sqrt(((arm.width[i] as number) / 2) ** 2 + Math.max(back, on) ** 2));
    }
    const half = tool.length / rows / 2;
    for (let k = 0; k < rows; k++) pointOf(frames, arm.spans, 0, 0, (2 * k + 1) * half, points, 3 * k);
    sampleSpace(view.space, points, rows, clearanceReach, answer, view.work);
    for (let k = 0; k < rows; k++) {
      const away = Math.sqrt(
        [0, 1, 2].reduce((sum, r) => sum + ((points[3 * k + r] as number) - (model.target.place[r] as number)) ** 2, 0),
      );
      if (view.exclude > 0 && away < view.exclude) continue;
      note(view, k, arm.spans, Math.sqrt((tool.diameter / 2) ** 2 + half ** 2));
    }
  }
  takeOffPlay(model, frames, firstFree, least.spare, work.hull);
  return least;

  function note(view: View, k: number, i: number, radius: number): void {
    const value = (answer.distance[k] as number) - radius;
    if (!(value < (least.spare[i] as number))) return;
    least.spare[i] = value;
    const body = answer.body[k] as number;
    least.nearest[i] = body < 0 ? -1 : (view.bodies[body] as number);
  }
}
