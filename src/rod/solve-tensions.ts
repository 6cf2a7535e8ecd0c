/** Equilibrium with given tensions: the least energy, by Newton with the exact tangent and a line search. */
import type { ArmModel } from "../arm/index.ts";
import { checkInput } from "./check-input.ts";
import { countDivergent } from "./count-divergent.ts";
import { hasDrag, settleDrag } from "./drag.ts";
import { takeGrip } from "./friction.ts";
import { saveBase, searchBase, slopeOfBase, stepBase } from "./give-base.ts";
import { keepSides, takeSides } from "./keep-sides.ts";
import { createRodState, type Load, type RodState, type SolveOptions, type SolveReport, type Stance } from "./model.ts";
import { mayJam, nameJam } from "./name-jam.ts";
import { setStance } from "./place.ts";
import { isCold, rampLoad } from "./ramp.ts";
import { addScaled, evaluate, gradientColumn, largestTurn, liftTangent, solveTangent, takeStep } from "./tangent.ts";
import type { RodWork } from "./work.ts";

const nothing = new Float64Array(0);

/**
 * @param state `strain` is the start and, when balanced, the result; `tension` [cable] is given, N
 * @param work shape and tangent of the last evaluation are left in it
 * @returns status; a shape that is `not-converged` must not be shown
 * @throws InputError `solve.size`, `solve.vertebra`, `solve.fluid`
 * @see docs/sources.md#riccati
 */
export function solveTensions(
  arm: ArmModel,
  load: Load,
  stance: Stance,
  state: RodState,
  work: RodWork,
  options: SolveOptions = {},
): SolveReport {
  const report = balanceTensions(arm, load, stance, state, work, options);
  return mayJam(load, report) ? jamTensions(arm, load, stance, state, work, options, report) : report;
}

/** Apart, so that a solve that arrives makes no closure. */
function jamTensions(
  arm: ArmModel,
  load: Load,
  stance: Stance,
  state: RodState,
  work: RodWork,
  options: SolveOptions,
  report: SolveReport,
): SolveReport {
  // a failed search left the shape anywhere; sides and grips are as they were
  const start = createRodState(arm);
  start.tension.set(state.tension);
  start.side.set(state.side);
  start.grip.set(state.grip);
  return nameJam(load, report, state, start, (smoother, from) => balanceTensions(arm, smoother, stance, from, work, options));
}

function balanceTensions(arm: ArmModel, load: Load, stance: Stance, state: RodState, work: RodWork, options: SolveOptions): SolveReport {
  const tolerance = options.tolerance ?? 1e-9;
  const most = options.mostSteps ?? 200;
  checkInput(arm, load, stance, state, "", nothing);
  const cold = options.ramp ?? isCold(arm, state);
  const leave = options.escape ?? true;
  setStance(arm, stance, work);
  work.base = state.base;
  takeSides(arm, load, state, work);
  takeGrip(arm, state, work);
  const report = hasDrag(load)
    ? settleDrag(arm, load, state, tolerance, work, () => findBalance(arm, load, state, state.tension, tolerance, most, leave, work))
    : findBalance(arm, load, state, state.tension, tolerance, most, leave, work);
  if (report.status !== "not-converged" || !cold) return keepSides(load, state, report, work);
  const { asked } = work;
  const ramped = rampLoad(arm, state, tolerance, work, (share, enough) => {
    for (let c = 0; c < arm.cables; c++) asked[c] = share * (state.tension[c] as number);
    const pull = share === 1 ? state.tension : asked;
    return settleDrag(arm, load, state, enough, work, () =>
      findBalance(arm, load, state, pull, enough, Math.min(most, mostOnTheWay), share === 1 && leave, work),
    );
  });
  return keepSides(load, state, ramped, work);
}

/** Newton's steps from one balance of a cold start to the next. */
const mostOnTheWay = 40;

/** Least share of the rods' stiffness put on top of a tangent that is not steady. */
const leastLift = 1e-3;

/**
 * rad: what is left over at each joint, as the angle by which it alone would take it up, for an arm that fell from an unstable balance. Where a
 * turn round the axis of its thrust costs nothing the step never is small, but nothing is left over.
 */
const leastLeft = 1e-12;

/** Share of the rods' stiffness that a turn which costs nothing may seem to give back, by rounding. */
const neutral = 1e-9;

/** Steps in a row of which no sizeable share lowers the energy. */
const mostStalled = 5;
const mostHalvings = 30;

/** From the strains as they are; the stance must be set. */
function findBalance(
  arm: ArmModel,
  load: Load,
  state: RodState,
  tension: Float64Array,
  tolerance: number,
  most: number,
  leave: boolean,
  work: RodWork,
): SolveReport {
  const { strain } = state;
  let escaped = false;
  let stalled = 0;
  let last = Number.POSITIVE_INFINITY;
  const guard = load.following === undefined && load.moment === undefined;
  // walls make an arm buckle far beyond its first load, where a guarded pivot here and there is no way down; nor is it from a straight one
  let steady = guard && load.walls !== undefined;
  let lift = leastLift;
  evaluate(arm, load, strain, tension, guard && !steady, work);
  let iteration = 0;
  while (iteration < most) {
    iteration++;
    if (steady && work.negative > 0) lift = liftTangent(arm, strain, tension, Math.max(leastLift, lift / 16), work);
    gradientColumn(arm, 0, work);
    solveTangent(arm, 1, work);
    last = largestTurn(arm, work.column, 0, work);
    if (!Number.isFinite(last)) break;
    takeStep(arm, work);
    const fallen = escaped && steady && load.walls === undefined && leftOver(arm, work) < leastLeft;
    if (fallen) work.step.fill(0);
    if (last <= tolerance || fallen) {
      addScaled(strain, 0, work.step, 0, 4 * arm.spans, 1);
      stepBase(1, work);
      evaluate(arm, load, strain, tension, false, work);
      let unstable = countDivergent(arm, work);
      if (unstable > 0 && escaped && guard) {
        if (liftTangent(arm, strain, tension, neutral, work) <= neutral) unstable = 0;
        evaluate(arm, load, strain, tension, false, work);
      }
      if (unstable === 0 || escaped || !leave || !guard) {
        return { status: unstable > 0 ? "buckled" : "stable", iterations: iteration, step: last, unstable, escaped };
      }
      escaped = true;
      steady = guard;
      nudge(arm, strain, work);
      evaluate(arm, load, strain, tension, guard && !steady, work);
      continue;
    }
    // the least energy may lie where it has no slope: a span folded until a cable in it has no length left
    stalled = searchLine(arm, load, strain, tension, last, guard, steady, work) ? 0 : stalled + 1;
    if (stalled === mostStalled) break;
  }
  return { status: "not-converged", iterations: iteration, step: last, unstable: work.negative, escaped };
}

/** Greatest of the joints' angles (axial: strains) that what is left over at each would make, alone. */
function leftOver(arm: ArmModel, work: RodWork): number {
  let most = 0;
  for (let i = work.firstFree; i < arm.spans; i++) {
    for (let k = 0; k < 4; k++) {
      if (arm.freeStrain[4 * i + k] !== 1) continue;
      const scale = (arm.stiffness[16 * i + 5 * k] as number) * (k === 3 ? (work.flexible[i] as number) : 1);
      const left = Math.abs(work.gradient[4 * i + k] as number) / scale;
      if (!(left <= most)) most = left;
    }
  }
  return most;
}

/** A small fixed disturbance that breaks the symmetry of an unstable balance. */
function nudge(arm: ArmModel, strain: Float64Array, work: RodWork): void {
  for (let i = work.firstFree; i < arm.spans; i++) {
    const l = work.flexible[i] as number;
    const share = 1e-3 / Math.max(1, arm.spans - work.firstFree) / l;
    for (let k = 0; k < 3; k++) {
      if (arm.freeStrain[4 * i + k] === 1) strain[4 * i + k] = (strain[4 * i + k] as number) + share * (k === 0 ? 1 : k === 1 ? 0.7 : 0.1);
    }
  }
}

/** Takes the step, shortened so that no joint turns by more than half a radian and the energy falls; false when no sizeable share of it does. */
function searchLine(
  arm: ArmModel,
  load: Load,
  strain: Float64Array,
  tension: Float64Array,
  largest: number,
  guard: boolean,
  steady: boolean,
  work: RodWork,
): boolean {
  const n4 = 4 * arm.spans;
  let share = Math.min(1, 0.5 / largest);
  const start = work.energy;
  let slope = work.hasBase ? slopeOfBase(work) : 0;
  for (let k = 4 * work.firstFree; k < n4; k++) slope += (work.gradient[k] as number) * (work.step[k] as number);
  const noise = 1e-12 * (Math.abs(start) + Math.abs(slope));
  work.saved.set(strain);
  saveBase(work);
  for (let halving = 0; halving < mostHalvings; halving++) {
    for (let k = 0; k < n4; k++) strain[k] = (work.saved[k] as number) + share * (work.step[k] as number);
    if (work.hasBase) searchBase(share, work);
    evaluate(arm, load, strain, tension, guard && !steady, work);
    // tensions that friction shifts along with the shape have no energy: near the balance every step is taken
    if (!guard || (work.hasGrip && share * largest < 0.1) || work.energy <= start + 1e-4 * share * slope + noise)
      return halving < mostHalvings / 2;
    share /= 2;
  }
  return false;
}
