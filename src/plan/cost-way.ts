/** What a way costs: feed, and what the bends and the roll change on it. */
import type { DepthRecord } from "../insertion/index.ts";
import type { RouteCurve } from "../path/index.ts";

/** A way's feed, m, and all turning of the sections' bends and of the base, rad, added up. */
export interface WayCost {
  readonly feed: number;
  readonly turning: number;
}

/** How much feed a radian of turning counts as, m: one trade between slow feeding and slow bending (common practice, no source). */
export const turningWorth = 0.05;

export function costOf({ feed, turning }: WayCost): number {
  return feed + turningWorth * turning;
}

/** Along records that follow one another, either way. @param from depth it begins at when it comes from the port, m */
export function costWay(records: readonly DepthRecord[], from?: number): WayCost {
  let feed = from === undefined || records.length === 0 ? 0 : Math.abs((records[0] as DepthRecord).depth - from);
  let turning = 0;
  for (let k = 1; k < records.length; k++) {
    const [a, b] = [records[k - 1] as DepthRecord, records[k] as DepthRecord];
    feed += Math.abs(b.depth - a.depth);
    turning += costChange(a, b);
  }
  return { feed, turning };
}

/** Turning from one record's commands to another's, rad. */
export function costChange(a: DepthRecord, b: DepthRecord): number {
  let turning = Math.abs(b.roll - a.roll);
  for (let j = 0; j < a.bend.length; j += 2)
    turning += Math.sqrt(
      ((b.bend[j] as number) - (a.bend[j] as number)) ** 2 + ((b.bend[j + 1] as number) - (a.bend[j + 1] as number)) ** 2,
    );
  return turning;
}

/** Of a route that nothing was laid on yet: its length, and all its bending. */
export function costRoute({ count, arc, curvature }: RouteCurve): WayCost {
  let turning = 0;
  for (let k = 1; k < count; k++)
    turning += (((curvature[k] as number) + (curvature[k - 1] as number)) / 2) * ((arc[k] as number) - (arc[k - 1] as number));
  return { feed: arc[count - 1] as number, turning };
}

/**
 * How deep two ways in are the same but for `gap`: the deepest record of each at which every vertebra past the exit is as near to that of
 * the other, at about one depth.
 *
 * @returns undefined where they part at once
 */
export function sharedDepth(
  one: readonly DepthRecord[],
  two: readonly DepthRecord[],
  gap: number,
): { readonly leave: number; readonly join: number } | undefined {
  let best: { leave: number; join: number } | undefined;
  let join = 0;
  for (let leave = 0; leave < one.length; leave++) {
    const depth = (one[leave] as DepthRecord).depth;
    while (
      join + 1 < two.length &&
      Math.abs((two[join + 1] as DepthRecord).depth - depth) <= Math.abs((two[join] as DepthRecord).depth - depth)
    )
      join++;
    const [a, b] = [one[leave] as DepthRecord, two[join] as DepthRecord];
    if (apart(a, b) > gap + Math.abs(a.depth - b.depth)) break;
    best = { leave, join };
  }
  return best;
}

function apart(a: DepthRecord, b: DepthRecord): number {
  let most = 0;
  for (let i = Math.min(a.firstFree, b.firstFree); i < a.frames.length / 12; i++) {
    let d2 = 0;
    for (let r = 9; r < 12; r++) d2 += ((a.frames[12 * i + r] as number) - (b.frames[12 * i + r] as number)) ** 2;
    most = Math.max(most, d2);
  }
  return Math.sqrt(most);
}
