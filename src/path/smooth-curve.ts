/**
 * Bends the way into a curve: least bending, gentle change of bending, some liking for room, subject to clearance,
 * curvature, length and the freedom of the end. Augmented Lagrangian: each inner problem is a sum of squares solved by
 * damped Gauss-Newton with exact distance gradients over a banded matrix.
 *
 * @see docs/sources.md#augmented-lagrangian
 */
import type { CellTree, SpaceModel } from "../space/index.ts";
import { endFrame, intoCone } from "./end-freedom.ts";
import { bendTight, endClear, measure } from "./measure-curve.ts";
import type { RouteRequest } from "./model.ts";
import { neededRoom, type RouteWork } from "./route-state.ts";
import { createSmoothWork, halfBand, placeEnds, type SmoothState, type SmoothWork, unknowns } from "./smooth-model.ts";
import { solveBand } from "./solve-band.ts";
import { curvatureOf } from "./spline.ts";
import { addUp } from "./sum-squares.ts";

const innerMost = 12;
const outerMost = 40;
const tries = 5;
/** Violations below this share of a limit are left to the tightening of the limits. */
const good = 3e-4;

/** One damped step (up to five trials), and the multipliers when the inner problem is solved. `state.phase` says when it is over. */
export function stepSmooth(space: SpaceModel, tree: CellTree, request: RouteRequest, state: SmoothState, routeWork: RouteWork): void {
  const work = smoothWork(state, routeWork);
  measure(space, tree, request, state, work, routeWork);
  const n = unknowns(state.spans);
  const before = addUp(request, state, work, true);
  let after = before;
  for (let attempt = 0; attempt < tries; attempt += 1) {
    for (let i = 0; i < n; i += 1) work.step[i] = -work.gradient[i]!;
    if (!solveBand(work.matrix, n, halfBand, state.damping, work.factor, work.step)) {
      state.damping *= 8;
      continue;
    }
    const kept = {
      control: state.control.slice(),
      lead: state.lead,
      tail: state.tail,
      standOff: state.standOff,
      direction: state.direction,
    };
    takeStep(request, state, work);
    measure(space, tree, request, state, work, routeWork);
    const merit = addUp(request, state, work, false);
    if (merit < before) {
      after = merit;
      state.damping = Math.max(1e-7, state.damping / 4);
      break;
    }
    Object.assign(state, kept);
    state.damping = Math.min(1e8, state.damping * 5);
  }
  state.inner += 1;
  if (before - after < 1e-4 * Math.abs(before) || state.inner >= innerMost) setPress(space, tree, request, state, work, routeWork);
}

/** Sets the multipliers from the violations, and judges whether to go on. */
function setPress(
  space: SpaceModel,
  tree: CellTree,
  request: RouteRequest,
  state: SmoothState,
  work: SmoothWork,
  routeWork: RouteWork,
): void {
  measure(space, tree, request, state, work, routeWork);
  const need = neededRoom(request);
  const stations = state.clearPress.length;
  let fault = 0;
  let length = 0;
  let energy = 0;
  for (let j = 0; j < stations; j += 1) {
    const d = work.shape.subarray(12 * j, 12 * j + 12);
    const clear = (work.distance[j]! - state.room) / need;
    const curvature = curvatureOf(d);
    const bend = 1 - curvature * state.bend * bendTight;
    fault = Math.max(fault, -clear, -bend);
    state.clearPress[j] = Math.max(0, state.clearPress[j]! - state.penalty * clear);
    state.bendPress[j] = Math.max(0, state.bendPress[j]! - state.penalty * bend);
    const share = (j === 0 || j === stations - 1 ? 0.5 : 1) / state.dense;
    const speed = Math.sqrt(d[3]! * d[3]! + d[4]! * d[4]! + d[5]! * d[5]!);
    length += share * speed;
    energy += share * speed * curvature * curvature * state.bend;
  }
  for (let i = 0; i < state.endPress.length; i += 1) {
    const clear = endClear(request, state, work, i);
    fault = Math.max(fault, -clear);
    state.endPress[i] = Math.max(0, state.endPress[i]! - state.penalty * clear);
  }
  if (state.length < Number.POSITIVE_INFINITY) {
    const over = (length + state.straight) / (state.length * 0.999) - 1;
    state.over = over;
    fault = Math.max(fault, over);
    state.lengthPress = Math.max(0, state.lengthPress + Math.min(0.3 * state.penalty, 100) * over);
  }
  state.outer += 1;
  state.inner = 0;
  if (fault < good && Math.abs(energy - state.energy) < 0.01 * energy + 1e-6) state.phase = 1;
  else if (state.outer >= outerMost || (state.outer > 18 && fault > 0.05)) state.phase = fault < good ? 1 : 2;
  if (fault > 0.5 * state.fault && fault >= good) state.penalty = Math.min(1e6, 2.5 * state.penalty);
  state.fault = fault;
  state.energy = energy;
  state.speed = length / state.spans;
  state.damping = Math.min(state.damping, 1e-2);
}

/** Moves the unknowns by the solved step, no further than half the needed room, and back within the bounds of the end. */
function takeStep(request: RouteRequest, state: SmoothState, work: SmoothWork): void {
  const { step } = work;
  const { spans } = state;
  const end = 1 + 3 * (spans - 1);
  const arm = state.standOff + state.straight;
  let most = Math.max(Math.abs(step[0]!), Math.abs(step[end]!), Math.abs(step[end + 1]!));
  most = Math.max(most, arm * Math.abs(step[end + 2]!), arm * Math.abs(step[end + 3]!));
  for (let i = 1; i < end; i += 3) most = Math.max(most, Math.sqrt(step[i]! ** 2 + step[i + 1]! ** 2 + step[i + 2]! ** 2));
  const limit = 0.5 * neededRoom(request);
  const scale = most > limit ? limit / most : 1;
  const control = state.control.slice();
  for (let i = 1; i < end; i += 1) control[i + 5] = control[i + 5]! + scale * step[i]!;
  const [e1, e2] = endFrame(request, state);
  const d: [number, number, number] = [0, 0, 0];
  for (let k = 0; k < 3; k += 1) d[k] = state.direction[k]! + scale * (step[end + 2]! * e1[k]! + step[end + 3]! * e2[k]!);
  state.control = control;
  state.direction = intoCone(request, d);
  state.lead = Math.max(0.05 * state.speed, state.lead + scale * step[0]!);
  state.tail = Math.max(0.05 * state.speed, state.tail + scale * step[end]!);
  state.standOff = Math.min(request.standOff[1], Math.max(request.standOff[0], state.standOff + scale * step[end + 1]!));
  placeEnds(request, state);
}

/** The memory for this shape of problem. */
function smoothWork(state: SmoothState, work: RouteWork): SmoothWork {
  const old = work.smooth;
  if (old === null || old.spans !== state.spans || old.dense !== state.dense || old.ends !== state.endPress.length) {
    work.smooth = createSmoothWork(state);
  }
  return work.smooth!;
}
