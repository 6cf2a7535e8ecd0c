/** All that a plan tells of the room outside the port. */
import type { ArmModel } from "../arm/index.ts";
import type { DepthRecord } from "../insertion/index.ts";
import type { SpaceModel } from "../space/index.ts";
import { columnOf, solveColumn } from "./column.ts";
import { measureRoom } from "./measure-room.ts";
import type { Column, Entry, Outside, OutsideFact, Push } from "./model.ts";
import { type PushRequest, pushIn } from "./push-in.ts";

/**
 * @param space  of the job's bodies, without stand-offs
 * @param wayIn  the depths of a way in that was solved to its end, else none
 */
export function measureOutside(
  outside: Outside,
  arm: ArmModel,
  space: SpaceModel,
  entry: Entry,
  request: PushRequest,
  wayIn: readonly DepthRecord[],
): OutsideFact {
  const feed = wayIn[wayIn.length - 1]?.depth ?? Number.NaN;
  const { stroke } = outside;
  const strokes = stroke === undefined || Number.isNaN(feed) ? 0 : outside.regrip ? Math.max(1, Math.ceil(feed / stroke - 1e-9)) : 1;
  const travel = stroke === undefined ? 0 : Math.min(stroke, Number.isNaN(feed) ? stroke : feed / Math.max(1, strokes));
  let worst: { push: Push; column: Omit<Column, "solved">; use: number } | undefined;
  for (const record of wayIn) {
    // in one stroke the carriage is as far back as the arm still has to go; with more of them it may be all the way back
    const back = strokes > 1 ? travel : Math.max(0, Math.min(travel, feed - record.depth));
    const length = Math.min(outside.gap + back, outside.supportEvery ?? Number.POSITIVE_INFINITY);
    if (!(length > 0)) continue;
    const push = pushIn(request, record);
    const column = columnOf(arm, outside, length);
    const use = push.total / column.euler;
    if (worst === undefined || use > worst.use) worst = { push, column, use };
  }
  return {
    outside,
    feed,
    strokes,
    room: measureRoom(space, entry, outside, travel),
    ...(worst === undefined ? {} : { buckling: { push: worst.push, column: { ...worst.column, solved: solveColumn(arm, worst.column) } } }),
  };
}
