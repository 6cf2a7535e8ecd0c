/** The least-squares problem of one depth at a solved shape: its cost, and the normal equations of its linearisation. */
import type { Section } from "../arm/index.ts";
import { pointOf } from "../math/index.ts";
import { firstHeld, heldResponse, type RodWork } from "../rod/index.ts";
import { type SpaceModel, sampleSpace } from "../space/index.ts";
import { armLength } from "./arm-length.ts";
import { curveAt } from "./curve.ts";
import type { InsertionModel } from "./model.ts";
import type { InsertionWork } from "./work.ts";

// Weights. A vertebra's distance from the route counts 1.
const toolWeight = 4;
const lastToolWeight = 30;
/** m a radian: how much a wrong direction of the tool counts */
const toolAim = 0.03;
const lastToolAim = 0.3;
const clearanceWeight = 6;
/** surfaces farther than this from a vertebra do not count, m */
const clearanceLook = 0.03;
/** clearance aimed for beyond what is asked, m */
const clearanceAim = 1e-3;
/** m a radian: how much leaving the bends and the roll of the depth before counts */
const bendHabit = 2e-3;
const rollHabit = 20e-3;
/** m a radian: how much leaving a roll that was chosen counts */
const rollSteady = 0.1;
/** m a newton metre: how much changing a section's effort counts; keeps bends out of directions in which no free hinge bends */
const effortHabit = 40e-3;
/** m a radian of a joint beyond nine tenths of its limit */
const jointWeight = 0.5;

/**
 * @param bend, roll as solved; @param before, startRoll where this depth began
 * @param last the full depth: the tool's place and direction count most
 * @param work `normal` [m, m] lower part and `gradient` [m] are written, m = held bends + 1 (the roll last)
 * @returns the cost, m^2
 */
export function gatherEquations(
  model: InsertionModel,
  space: SpaceModel,
  depth: number,
  last: boolean,
  bend: Float64Array,
  before: Float64Array,
  roll: number,
  startRoll: number,
  work: InsertionWork,
): number {
  const { arm } = model;
  const { rod } = work;
  heldResponse(arm, rod);
  const limp = firstHeld(arm, rod);
  const held = 2 * (arm.sections - limp);
  work.normal.fill(0);
  work.gradient.fill(0);
  let cost = 0;
  const first = Math.max(rod.firstFree + 1, 1);
  const exit = armLength(model) - depth;
  for (let i = first; i <= arm.spans; i++) cost += addPoint(model, i, 0, (arm.along[i] as number) - exit, 1, limp, work);
  const tool = arm.description.tool.length;
  cost += addPoint(model, arm.spans, tool, depth, last ? lastToolWeight : toolWeight, limp, work);
  cost += addAim(model, depth, last ? lastToolAim : toolAim, limp, work);
  cost += addClearances(model, space, first, exit, limp, work);
  cost += addJoints(model, first, limp, work);
  for (let a = 0; a < held; a++) {
    const change = (bend[2 * limp + a] as number) - (before[2 * limp + a] as number);
    const weight =
      bendHabit +
      (effortHabit * newness(arm, rod, limp + (a >> 1))) / Math.max(Math.abs(rod.bendCompliance[2 * limp + a] as number), 1e-12);
    work.row.fill(0);
    work.row[a] = weight;
    cost += addRow(held + 1, weight * change, work);
  }
  if (model.steady !== undefined) {
    work.row.fill(0);
    work.row[held] = rollSteady;
    cost += addRow(held + 1, rollSteady * (roll - model.steady), work);
  }
  work.row.fill(0);
  work.row[held] = rollHabit;
  return cost + addRow(held + 1, rollHabit * (roll - startRoll), work);
}

/** A section that has just begun to leave the guide takes over slowly: its first hinge must not jump to a share of the bend. */
function newness(arm: InsertionModel["arm"], rod: RodWork, section: number): number {
  const out = (arm.firstSpan[section + 1] as number) - Math.max(rod.firstFree, arm.firstSpan[section] as number);
  return 1 + 8 / (out * out);
}

/** One equation with the derivative in `work.row`; returns its share of the cost. */
function addRow(m: number, value: number, work: InsertionWork): number {
  const { row, gradient, normal } = work;
  for (let a = 0; a < m; a++) {
    const r = row[a] as number;
    if (r === 0) continue;
    gradient[a] = (gradient[a] as number) + r * value;
    for (let b = 0; b <= a; b++) normal[m * a + b] = (normal[m * a + b] as number) + r * (row[b] as number);
  }
  return value * value;
}

/** `work.motion` [3, m] of a point at height z on vertebra i, or of its z axis. World, a radian. */
function moveBy(model: InsertionModel, i: number, z: number, axis: boolean, limp: number, work: InsertionWork): number {
  const { arm } = model;
  const { frame, response } = work.rod;
  const held = 2 * (arm.sections - limp);
  const m = held + 1;
  const f = 12 * i;
  for (let a = 0; a < m; a++) {
    const o = 6 * ((arm.spans + 1) * (a < held ? 2 * limp + a : 2 * arm.sections) + i);
    const wx = response[o] as number;
    const wy = response[o + 1] as number;
    const v0 = axis ? wy : (response[o + 3] as number) + wy * z;
    const v1 = axis ? -wx : (response[o + 4] as number) - wx * z;
    const v2 = axis ? 0 : (response[o + 5] as number);
    for (let r = 0; r < 3; r++) {
      work.motion[m * r + a] =
        (frame[f + 3 * r] as number) * v0 + (frame[f + 3 * r + 1] as number) * v1 + (frame[f + 3 * r + 2] as number) * v2;
    }
  }
  return m;
}

/** Distance of a point from the route near arc length s; motion along the route is free. */
function addPoint(model: InsertionModel, i: number, z: number, s: number, weight: number, limp: number, work: InsertionWork): number {
  const c = work.curve;
  pointOf(work.rod.frame, i, 0, 0, z, work.points, 0);
  const x = work.points[0] as number;
  const y = work.points[1] as number;
  const w = work.points[2] as number;
  curveAt(model.curve, s, c);
  const ahead =
    (x - (c[0] as number)) * (c[3] as number) + (y - (c[1] as number)) * (c[4] as number) + (w - (c[2] as number)) * (c[5] as number);
  curveAt(model.curve, s + Math.max(-0.02, Math.min(0.02, ahead)), c);
  const e0 = x - (c[0] as number);
  const e1 = y - (c[1] as number);
  const e2 = w - (c[2] as number);
  const along = e0 * (c[3] as number) + e1 * (c[4] as number) + e2 * (c[5] as number);
  const m = moveBy(model, i, z, false, limp, work);
  let cost = 0;
  for (let r = 0; r < 3; r++) {
    const t = c[3 + r] as number;
    for (let a = 0; a < m; a++) {
      const on =
        (work.motion[a] as number) * (c[3] as number) +
        (work.motion[m + a] as number) * (c[4] as number) +
        (work.motion[2 * m + a] as number) * (c[5] as number);
      work.row[a] = weight * ((work.motion[m * r + a] as number) - on * t);
    }
    cost += addRow(m, weight * ((r === 0 ? e0 : r === 1 ? e1 : e2) - along * t), work);
  }
  return cost;
}

/** Direction of the tool against that of the route at its end. */
function addAim(model: InsertionModel, depth: number, weight: number, limp: number, work: InsertionWork): number {
  const i = model.arm.spans;
  curveAt(model.curve, depth, work.curve);
  const m = moveBy(model, i, 0, true, limp, work);
  let cost = 0;
  for (let r = 0; r < 3; r++) {
    for (let a = 0; a < m; a++) work.row[a] = weight * (work.motion[m * r + a] as number);
    cost += addRow(m, weight * ((work.rod.frame[12 * i + 3 * r + 2] as number) - (work.curve[3 + r] as number)), work);
  }
  return cost;
}

/** Vertebrae nearer to a surface than asked plus the aim are pushed off it, those behind it back through it. */
function addClearances(model: InsertionModel, space: SpaceModel, first: number, exit: number, limp: number, work: InsertionWork): number {
  const { arm } = model;
  const { points, answer } = work;
  const n = arm.spans - first + 1;
  for (let i = first; i <= arm.spans; i++) pointOf(work.rod.frame, i, 0, 0, 0, points, 3 * (i - first));
  sampleSpace(space, points, n, clearanceLook, answer, work.space);
  let cost = 0;
  for (let k = 0; k < n; k++) {
    const i = first + k;
    const section = arm.description.sections[arm.sectionOfSpan[i - 1] as number] as Section;
    if ((answer.body[k] as number) < 0) continue;
    let square = 0;
    for (let r = 0; r < 3; r++) square += ((points[3 * k + r] as number) - (answer.closest[3 * k + r] as number)) ** 2;
    const size = Math.sqrt(square);
    const passed = mayHavePassed(model, k, (arm.along[i] as number) - exit, size, work);
    // behind the surface: as far on the wrong side as it is from it
    const distance = (answer.distance[k] as number) - (passed ? 2 * size : 0);
    const lack = section.outerDiameter / 2 + clearanceAim - distance;
    if (!(lack > 0) || !(size > 1e-6)) continue;
    if (passed) {
      cost += (clearanceWeight * lack) ** 2;
      continue;
    }
    const m = moveBy(model, i, 0, false, limp, work);
    const scale = (passed ? -clearanceWeight : clearanceWeight) / size;
    for (let a = 0; a < m; a++) {
      let sum = 0;
      for (let r = 0; r < 3; r++)
        sum += ((points[3 * k + r] as number) - (answer.closest[3 * k + r] as number)) * (work.motion[m * r + a] as number);
      work.row[a] = -scale * sum;
    }
    cost += addRow(m, clearanceWeight * lack, work);
  }
  return cost;
}

/**
 * Whether a surface may lie between a vertebra and its place on the route: distances have no side, and a vertebra behind a wall would
 * be led on from it. None does where the balls about both, free of surfaces, meet.
 *
 * @param size from the vertebra to the nearest surface, m
 */
function mayHavePassed({ curve }: InsertionModel, k: number, s: number, size: number, work: InsertionWork): boolean {
  const { points, routeRoom, curve: c } = work;
  curveAt(curve, s, c);
  let square = 0;
  for (let r = 0; r < 3; r++) square += ((points[3 * k + r] as number) - (c[r] as number)) ** 2;
  let low = 0;
  let high = curve.count - 1;
  while (high - low > 1) {
    const middle = (low + high) >> 1;
    if ((curve.arc[middle] as number) <= s) low = middle;
    else high = middle;
  }
  const room = (routeRoom[low] as number) - Math.abs(s - (curve.arc[low] as number)) + size;
  return room < 0 || square > room * room;
}

/** Joints beyond nine tenths of their limit; a joint follows its own section's bend in proportion. */
function addJoints(model: InsertionModel, first: number, limp: number, work: InsertionWork): number {
  const { arm } = model;
  const { rod } = work;
  const m = 2 * (arm.sections - limp) + 1;
  let cost = 0;
  for (let j = limp; j < arm.sections; j++) {
    const from = Math.max(first - 1, arm.firstSpan[j] as number);
    const to = arm.firstSpan[j + 1] as number;
    let worst = 0;
    for (let i = from; i < to; i++) worst = Math.max(worst, jointOf(work, i));
    const over = worst - 0.9 * (arm.description.sections[j] as Section).jointLimit;
    if (over <= 0) continue;
    const bx = rod.bend[2 * j] as number;
    const by = rod.bend[2 * j + 1] as number;
    const size = bx * bx + by * by;
    if (!(size > 1e-8)) continue;
    work.row.fill(0);
    work.row[2 * (j - limp)] = (jointWeight * worst * bx) / size;
    work.row[2 * (j - limp) + 1] = (jointWeight * worst * by) / size;
    cost += addRow(m, jointWeight * over, work);
  }
  return cost;
}

/** Bending angle of joint i from the relative rotation of its two vertebrae, rad. */
function jointOf(work: InsertionWork, i: number): number {
  const { turn } = work.rod;
  return Math.acos(Math.min(1, turn[9 * i + 8] as number));
}
