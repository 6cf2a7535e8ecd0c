/**
 * Which tensions give a section the bending effort it needs: the least sum of squares with every cable nowhere below its
 * pretension. For three cables the slackest is then at the pretension; for two opposed pairs, the slack one of each pair.
 */
import type { ArmModel } from "../arm/index.ts";
import type { RodWork } from "./work.ts";

/**
 * The cables above pretension are an arc of the circle (those whose effort lies along a direction), so all arcs are tried
 * and the cheapest that holds is taken.
 *
 * @param effort [section, 2] N m beyond what the pretensions give
 * @param tension [cable] written, N
 * @param work `tensionRate` [cable, 2] is written: change of tension a unit effort
 */
export function spreadEffort(arm: ArmModel, effort: Float64Array, tension: Float64Array, work: RodWork): void {
  for (let j = 0; j < arm.sections; j++) spreadSection(arm, j, effort, tension, work);
}

function spreadSection(arm: ArmModel, j: number, effort: Float64Array, tension: Float64Array, work: RodWork): void {
  const first = arm.firstCable[j] as number;
  const m = (arm.firstCable[j + 1] as number) - first;
  const { tensionRate, scratch, floor } = work;
  for (let k = 0; k < m; k++) {
    scratch[order + k] = first + k;
    scratch[angle + k] = Math.atan2(arm.cableY[first + k] as number, arm.cableX[first + k] as number);
  }
  for (let k = 1; k < m; k++) {
    for (let p = k; p > 0; p--) {
      const turned = scratch[angle + (scratch[order + p] as number) - first] as number;
      if (turned >= (scratch[angle + (scratch[order + p - 1] as number) - first] as number)) break;
      const swap = scratch[order + p] as number;
      scratch[order + p] = scratch[order + p - 1] as number;
      scratch[order + p - 1] = swap;
    }
  }
  let bestCost = Number.POSITIVE_INFINITY;
  let bestStart = 0;
  let bestCount = 0;
  for (let count = 2; count < m || count === 2; count++) {
    for (let start = 0; start < m; start++) {
      tryArc(j, m, start, count, effort, work, false, tension);
      const cost = scratch[costAt] as number;
      if (bestCount === 0 ? cost < Number.POSITIVE_INFINITY : cost < bestCost - 1e-12 * Math.abs(bestCost)) {
        bestCost = cost;
        bestStart = start;
        bestCount = count;
      }
    }
  }
  for (let c = first; c < first + m; c++) {
    tension[c] = floor[c] as number;
    tensionRate[2 * c] = 0;
    tensionRate[2 * c + 1] = 0;
  }
  tryArc(j, m, bestStart, bestCount, effort, work, true, tension);
}

/** offsets in `work.scratch`: cost of an arc (as a result it would be put on the heap), cables by angle, angles */
const costAt = 199;
const order = 200;
const angle = 300;

/** Cost of the arc's tensions above pretension to `costAt`; with `write` they and their rates are written too. */
function tryArc(
  j: number,
  m: number,
  start: number,
  count: number,
  effort: Float64Array,
  work: RodWork,
  write: boolean,
  tension: Float64Array,
): void {
  const ex = effort[2 * j] as number;
  const ey = effort[2 * j + 1] as number;
  const { effortArm, tensionRate, scratch, floor } = work;
  scratch[costAt] = Number.POSITIVE_INFINITY;
  let xx = 0;
  let xy = 0;
  let yy = 0;
  let bx = ex;
  let by = ey;
  for (let k = 0; k < count; k++) {
    const c = scratch[order + ((start + k) % m)] as number;
    const ax = effortArm[2 * c] as number;
    const ay = effortArm[2 * c + 1] as number;
    xx += ax * ax;
    xy += ax * ay;
    yy += ay * ay;
    bx += (floor[c] as number) * ax;
    by += (floor[c] as number) * ay;
  }
  const det = xx * yy - xy * xy;
  if (!(det > 1e-9 * (xx + yy) ** 2)) return;
  const nx = (yy * bx - xy * by) / det;
  const ny = (xx * by - xy * bx) / det;
  const scale = Math.sqrt((ex * ex + ey * ey) / (xx + yy));
  let cost = 0;
  for (let k = 0; k < count; k++) {
    const c = scratch[order + ((start + k) % m)] as number;
    const ax = effortArm[2 * c] as number;
    const ay = effortArm[2 * c + 1] as number;
    const t = nx * ax + ny * ay;
    const over = t - (floor[c] as number);
    if (over < -1e-9 * (scale + (floor[c] as number))) return;
    cost += t * t - (floor[c] as number) ** 2;
    if (write) {
      tension[c] = t;
      tensionRate[2 * c] = (yy * ax - xy * ay) / det;
      tensionRate[2 * c + 1] = (xx * ay - xy * ax) / det;
    }
  }
  scratch[costAt] = cost;
}
