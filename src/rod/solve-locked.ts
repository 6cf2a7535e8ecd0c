/**
 * Equilibrium with every drive locked: each cable has a free length, pulls with its stretch and cannot push. Gives what a
 * load does to an arm that nobody steers: sag, slack cables, tip stiffness.
 */
import type { ArmModel } from "../arm/index.ts";
import { factorLu, solveLu } from "../math/index.ts";
import { cableStiffness } from "./cable-stiffness.ts";
import { checkInput } from "./check-input.ts";
import { hasDrag, settleDrag } from "./drag.ts";
import { shareTensions, takeGrip } from "./friction.ts";
import { addRoot, saveBase, searchBase, slopeOfBase, stepBase } from "./give-base.ts";
import { keepSides, takeSides } from "./keep-sides.ts";
import { applyLoads } from "./loads.ts";
import { createRodState, type Load, type RodState, type SolveOptions, type SolveReport, type Stance } from "./model.ts";
import { mayJam, nameJam } from "./name-jam.ts";
import { placeArm, setStance } from "./place.ts";
import { isCold, rampLoad } from "./ramp.ts";
import { dotReduced, returnColumn } from "./solve-columns.ts";
import { anySlack, countUnstable, gatherRates, gatherRubbed, rateAlong } from "./stability.ts";
import { factorTangent } from "./sweep.ts";
import { addScaled, gradientColumn, largestTurn, liftTangent, takeStep } from "./tangent.ts";
import type { RodWork } from "./work.ts";

/** Free length of each cable over the free spans that makes `state` what it is, into `free` [cable], m. `work` is as its solve left it. */
export function readFreeLengths(arm: ArmModel, state: RodState, work: RodWork, free: Float64Array): void {
  for (let c = 0; c < arm.cables; c++) free[c] = (work.cableLength[c] as number) - (state.tension[c] as number) * (work.give[c] as number);
}

/**
 * @param free [cable] free length over the free spans, m
 * @param state start (strains) and result (strains, tensions)
 * @throws InputError `solve.size`, `solve.vertebra`, `solve.fluid`
 */
export function solveLocked(
  arm: ArmModel,
  load: Load,
  stance: Stance,
  free: Float64Array,
  state: RodState,
  work: RodWork,
  options: SolveOptions = {},
): SolveReport {
  const report = balanceLocked(arm, load, stance, free, state, work, options);
  return options.jam !== false && mayJam(load, report) ? jamLocked(arm, load, stance, free, state, work, options, report) : report;
}

/** Apart, so that a solve that arrives makes no closure. */
function jamLocked(
  arm: ArmModel,
  load: Load,
  stance: Stance,
  free: Float64Array,
  state: RodState,
  work: RodWork,
  options: SolveOptions,
  report: SolveReport,
): SolveReport {
  // a failed search left the shape anywhere; sides and grips are as they were
  const start = createRodState(arm);
  start.side.set(state.side);
  start.grip.set(state.grip);
  return nameJam(load, report, state, start, (smoother, from) => balanceLocked(arm, smoother, stance, free, from, work, options));
}

function balanceLocked(
  arm: ArmModel,
  load: Load,
  stance: Stance,
  free: Float64Array,
  state: RodState,
  work: RodWork,
  options: SolveOptions,
): SolveReport {
  const tolerance = options.tolerance ?? 1e-9;
  const most = options.mostSteps ?? 100;
  checkInput(arm, load, stance, state, "free", free);
  const cold = options.ramp ?? isCold(arm, state);
  setStance(arm, stance, work);
  work.base = state.base;
  takeSides(arm, load, state, work);
  takeGrip(arm, state, work);
  const report = hasDrag(load)
    ? settleDrag(arm, load, state, tolerance, work, () => findLocked(arm, load, free, state, tolerance, most, work))
    : findLocked(arm, load, free, state, tolerance, most, work);
  if (report.status !== "not-converged" || !cold) return keepSides(load, state, report, work);
  const { asked, cableLength } = work;
  const ramped = rampLoad(arm, state, tolerance, work, (share, enough) => {
    // from straight under the pretension to what is asked
    placeArm(arm, arm.rest, work);
    for (let c = 0; c < arm.cables; c++) {
      const straight = (cableLength[c] as number) - (arm.pretension[c] as number) / cableStiffness(arm, c);
      asked[c] = straight + share * ((free[c] as number) - straight);
    }
    const lengths = share === 1 ? free : asked;
    return settleDrag(arm, load, state, enough, work, () => findLocked(arm, load, lengths, state, enough, most, work));
  });
  return keepSides(load, state, ramped, work);
}

/** Steps in a row that no share of lowers the energy. */
const mostStalled = 5;

/** From the state as it is; the stance must be set. */
function findLocked(
  arm: ArmModel,
  load: Load,
  free: Float64Array,
  state: RodState,
  tolerance: number,
  most: number,
  work: RodWork,
): SolveReport {
  const { strain, tension } = state;
  let last = Number.POSITIVE_INFINITY;
  let stalled = 0;
  let energy = evaluateLocked(arm, load, free, strain, tension, false, work);
  let iteration = 0;
  while (iteration < most) {
    iteration++;
    let slope = stepLocked(arm, tension, work);
    // a tangent that is not symmetric has no energy to go down
    if (!(slope < 0) && work.negative > 0 && !work.hasSkew && !work.hasGrip) {
      if (load.walls === undefined) energy = evaluateLocked(arm, load, free, strain, tension, true, work);
      else liftTangent(arm, strain, tension, 1e-3, work);
      slope = stepLocked(arm, tension, work);
    }
    last = largestTurn(arm, work.step, 0, work);
    if (!Number.isFinite(last)) break;
    if (last <= tolerance) {
      addScaled(strain, 0, work.step, 0, 4 * arm.spans, 1);
      stepBase(1, work);
      evaluateLocked(arm, load, free, strain, tension, false, work);
      const unstable = countUnstable(arm, tension, work);
      return {
        status: unstable > 0 ? "buckled" : anySlack(tension) ? "slack" : "stable",
        iterations: iteration,
        step: last,
        unstable,
        escaped: false,
      };
    }
    const before = energy;
    energy = searchLocked(arm, load, free, strain, tension, energy, slope, last, work);
    stalled = energy < before || work.hasSkew || work.hasGrip ? 0 : stalled + 1;
    if (stalled === mostStalled) break;
  }
  return { status: "not-converged", iterations: iteration, step: last, unstable: 0, escaped: false };
}

/** Tensions from the lengths, then everything else; returns the energy with the cables' own. */
function evaluateLocked(
  arm: ArmModel,
  load: Load,
  free: Float64Array,
  strain: Float64Array,
  tension: Float64Array,
  guard: boolean,
  work: RodWork,
): number {
  work.energy = 0;
  placeArm(arm, strain, work);
  if (work.hasGrip) shareTensions(arm, work);
  for (let c = 0; c < arm.cables; c++)
    tension[c] = Math.max(0, (work.cableLength[c] as number) - (free[c] as number)) / (work.give[c] as number);
  applyLoads(arm, load, work);
  factorTangent(arm, strain, tension, guard, work);
  let energy = work.energy;
  for (let c = 0; c < arm.cables; c++) {
    const t = tension[c] as number;
    energy += t * (0.5 * t * (work.give[c] as number) - (work.cableLength[c] as number));
  }
  return energy;
}

/** Newton step into `work.step`; returns the slope of the energy along it. */
function stepLocked(arm: ArmModel, tension: Float64Array, work: RodWork): number {
  const { dense, denseRight, columns, column } = work;
  const n4 = 4 * arm.spans;
  gradientColumn(arm, 0, work);
  const active = work.hasGrip ? gatherRubbed(arm, tension, 1, work) : gatherRates(arm, tension, 1, work);
  const force = work.hasGrip ? 1 + active : 1;
  let r = 0;
  for (let c = 0; c < arm.cables; c++) {
    if ((tension[c] as number) > 0) denseRight[r] = work.hasSkew ? rateAlong(arm, c, 0, work) : dotReduced(arm, 1 + r, 0, work);
    if ((tension[c] as number) > 0) r++;
  }
  if (active > 0 && factorLu(dense, active, columns, work.pivots)) {
    solveLu(dense, active, columns, work.pivots, denseRight);
    for (let k = 0; k < active; k++) {
      const count = work.hasSkew ? n4 : 4 * (work.columnEnd[force + k] as number);
      addScaled(column, 0, column, n4 * (force + k), count, -(denseRight[k] as number));
      if (work.hasBase) addRoot(0, force + k, -(denseRight[k] as number), work);
    }
  }
  if (!work.hasSkew) returnColumn(arm, 0, work);
  takeStep(arm, work);
  let slope = work.hasBase ? slopeOfBase(work) : 0;
  for (let k = 4 * work.firstFree; k < n4; k++) slope += (work.gradient[k] as number) * (work.step[k] as number);
  return slope;
}

function searchLocked(
  arm: ArmModel,
  load: Load,
  free: Float64Array,
  strain: Float64Array,
  tension: Float64Array,
  start: number,
  slope: number,
  largest: number,
  work: RodWork,
): number {
  let share = Math.min(1, 0.5 / largest);
  const noise = 1e-12 * (Math.abs(start) + Math.abs(slope));
  // with a tip wrench that turns with the tip there is no energy to go down, only what is out of balance
  const led = work.hasSkew && !work.hasGrip && !work.hasBase && largest > nearBalance;
  const before = led ? imbalance(arm, work) : 0;
  work.saved.set(strain);
  saveBase(work);
  let energy = start;
  for (let halving = 0; halving < 30; halving++) {
    for (let k = 0; k < 4 * arm.spans; k++) strain[k] = (work.saved[k] as number) + share * (work.step[k] as number);
    if (work.hasBase) searchBase(share, work);
    energy = evaluateLocked(arm, load, free, strain, tension, false, work);
    if (led ? imbalance(arm, work) <= (1 - 1e-4 * share) * before : work.hasSkew || work.hasGrip) return energy;
    if (led ? halving === mostLedHalvings : energy <= start + 1e-4 * share * slope + noise) return energy;
    share /= 2;
  }
  return energy;
}

/** rad: a step as small as that is taken whole: what is out of balance is rounding soon. */
const nearBalance = 1e-6;
/** Halvings after which a step is taken though the balance is no better: a cable fallen loose may be in the way. */
const mostLedHalvings = 6;

/** Energy that the moments out of balance would put into the rods, J. */
function imbalance(arm: ArmModel, work: RodWork): number {
  let sum = 0;
  for (let i = work.firstFree; i < arm.spans; i++) {
    for (let k = 0; k < 4; k++) {
      const g = work.gradient[4 * i + k] as number;
      sum += (g * g) / ((arm.stiffness[16 * i + 5 * k] as number) * (work.flexible[i] as number));
    }
  }
  return sum;
}
