/**
 * Equilibrium with each section's bend held: two numbers a section, made by its own cables, the slackest of which is kept
 * at its pretension. The well-conditioned form for planning.
 *
 * Newton on strains and efforts together: the tangent's sweep eliminates the strains, a dense system of two unknowns a
 * section is left.
 */
import type { ArmModel } from "../arm/index.ts";
import { factorLu } from "../math/index.ts";
import { checkInput } from "./check-input.ts";
import { hasDrag, settleDrag } from "./drag.ts";
import { takeGrip } from "./friction.ts";
import { rateShares } from "./friction-rates.ts";
import { stepBase } from "./give-base.ts";
import { directSteps, hardenWalls, keepStart } from "./harden-walls.ts";
import { firstHeld, gatherModes, steadyByEfforts } from "./held-modes.ts";
import { keepSides, takeSides } from "./keep-sides.ts";
import { createRodState, type Load, type RodState, type SolveOptions, type SolveReport, type Stance } from "./model.ts";
import { mayJam, nameJam } from "./name-jam.ts";
import { setStance } from "./place.ts";
import { isCold, rampLoad } from "./ramp.ts";
import { rubStep } from "./rub-step.ts";
import { searchHeld, unbalance } from "./search-held.ts";
import { solveGathered, solveNear } from "./solve-near.ts";
import { anySlack, countUnstable } from "./stability.ts";
import { addScaled, copyRange, evaluateHeld, gradientColumn, largestTurn, placeHeld, takeStep } from "./tangent.ts";
import type { RodWork } from "./work.ts";

/**
 * @param bend [section, 2] bend of each section's free part about its x and y as its cables measure it, rad; a section that is
 *   wholly in the guide keeps its cables at the pretension and its two numbers are not read. Where a few hinges of a twin
 *   backbone are out and none bends about one of the axes, a bend about it takes a large effort: ask for none.
 * @param state start and result: strains, efforts (N m), tensions
 * @param work shape and tangent at the result are left in it, and `response` when `heldResponse` is called next
 * @throws InputError `solve.size`, `solve.vertebra`, `solve.fluid`
 */
export function solveHeld(
  arm: ArmModel,
  load: Load,
  stance: Stance,
  bend: Float64Array,
  state: RodState,
  work: RodWork,
  options: SolveOptions = {},
): SolveReport {
  const report = balanceHeld(arm, load, stance, bend, state, work, options);
  return mayJam(load, report) ? jamHeld(arm, load, stance, bend, state, work, options, report) : report;
}

/** Apart, so that a solve that arrives makes no closure. */
function jamHeld(
  arm: ArmModel,
  load: Load,
  stance: Stance,
  bend: Float64Array,
  state: RodState,
  work: RodWork,
  options: SolveOptions,
  report: SolveReport,
): SolveReport {
  // a failed search left the shape anywhere; sides and grips are as they were
  const start = createRodState(arm);
  start.side.set(state.side);
  start.grip.set(state.grip);
  return nameJam(load, report, state, start, (smoother, from) => balanceHeld(arm, smoother, stance, bend, from, work, options));
}

function balanceHeld(
  arm: ArmModel,
  load: Load,
  stance: Stance,
  bend: Float64Array,
  state: RodState,
  work: RodWork,
  options: SolveOptions,
): SolveReport {
  const tolerance = options.tolerance ?? 1e-8;
  const most = options.mostSteps ?? 60;
  checkInput(arm, load, stance, state, "bend", bend);
  const cold = options.ramp ?? isCold(arm, state);
  setStance(arm, stance, work);
  work.base = state.base;
  takeSides(arm, load, state, work);
  takeGrip(arm, state, work);
  const limp = firstHeld(arm, work);
  if (load.walls !== undefined) keepStart(state, work);
  const first = load.walls === undefined ? most : Math.min(most, directSteps);
  const report = hasDrag(load)
    ? settleDrag(arm, load, state, tolerance, work, () => findHeld(arm, load, bend, limp, state, tolerance, first, work))
    : findHeld(arm, load, bend, limp, state, tolerance, first, work);
  if (report.status !== "not-converged") return keepSides(load, state, report, work);
  if (load.walls !== undefined) {
    const hardened = hardenWalls(arm, state, tolerance, work, (enough) =>
      settleDrag(arm, load, state, enough, work, () => findHeld(arm, load, bend, limp, state, enough, Math.min(most, mostOnTheWay), work)),
    );
    if (hardened.status !== "not-converged" || !cold) return keepSides(load, state, hardened, work);
  }
  if (!cold) return report;
  const { asked } = work;
  const ramped = rampLoad(arm, state, tolerance, work, (share, enough) => {
    for (let k = 2 * limp; k < 2 * arm.sections; k++) asked[k] = share * (bend[k] as number);
    const wanted = share === 1 ? bend : asked;
    return settleDrag(arm, load, state, enough, work, () =>
      findHeld(arm, load, wanted, limp, state, enough, Math.min(most, mostOnTheWay), work),
    );
  });
  return keepSides(load, state, ramped, work);
}

/** Newton's steps from one balance of a cold start to the next. */
const mostOnTheWay = 20;

/** rad: after a step this small the factored system of efforts and bends serves the next ones too; what it leaves falls ten thousandfold each. */
const nearEnough = 1e-4;

/** rad: a tangent from a shape this near serves as the result's own. */
const alike = 1e-7;

/** A small step leaves a ten-thousandth of itself and what was left of friction, a quarter of the tolerance: one of so many tolerances is the last. */
const leaves = 10;

/** rad: rates of the shares from a shape this near serve again. */
const sameRates = 1e-5;

/** 1/rad: what a step may leave of the friction that follows it, a square of it; its own error is a few times that. */
const rubbedEnough = 2;

/** From the state as it is; the stance must be set. */
function findHeld(
  arm: ArmModel,
  load: Load,
  bend: Float64Array,
  limp: number,
  state: RodState,
  tolerance: number,
  most: number,
  work: RodWork,
): SolveReport {
  const { strain, tension, effort } = state;
  effort.fill(0, 0, 2 * limp);
  let last = Number.POSITIVE_INFINITY;
  let reach = 0.5;
  let iteration = 0;
  const quick = load.walls === undefined && load.fluid === undefined && load.following === undefined && load.moment === undefined;
  while (iteration < most) {
    iteration++;
    evaluateHeld(arm, load, state, work);
    const before = load.walls === undefined ? 0 : unbalance(arm, bend, limp, work);
    const near = load.walls === undefined && last < nearEnough && sameSpread(work);
    if (near) {
      gradientColumn(arm, 0, work);
      solveNear(arm, bend, limp, work);
      takeStep(arm, work);
    } else if (!stepHeld(arm, bend, limp, work)) break;
    let size = largestTurn(arm, work.step, 0, work);
    if (!Number.isFinite(size)) break;
    if (work.hasGrip && !work.hasSkew && load.walls === undefined && size > tolerance) {
      if (iteration === 1 || size > sameRates) rateShares(arm, work);
      rubStep(arm, limp, tension, near, Math.max(tolerance / 4, rubbedEnough * size * size), work);
      size = largestTurn(arm, work.step, 0, work);
    }
    // a step that does not shrink is cut: the slackest cable may change from step to step
    if (load.walls === undefined && size > last && iteration > 6) reach = Math.max(reach / 2, 1e-3);
    const share = Math.min(1, reach / size);
    if (load.walls !== undefined && size > tolerance) {
      searchHeld(arm, load, bend, limp, state, before, share, work);
      last = size;
      continue;
    }
    addScaled(strain, 0, work.step, 0, 4 * arm.spans, share);
    if (work.hasBase) stepBase(share, work);
    for (let k = 2 * limp; k < 2 * arm.sections; k++) effort[k] = (effort[k] as number) + share * (work.denseRight[k - 2 * limp] as number);
    last = size;
    if (size > (iteration > 1 && quick ? leaves * tolerance : tolerance)) continue;
    if (size < alike && quick) placeHeld(arm, state, work);
    else evaluateHeld(arm, load, state, work);
    const unstable = work.negative === 0 || steadyByEfforts(arm, limp, tension, work) ? 0 : countUnstable(arm, tension, work);
    return {
      status: unstable > 0 ? "buckled" : anySlack(tension) ? "slack" : "stable",
      iterations: iteration,
      step: size,
      unstable,
      escaped: false,
    };
  }
  return { status: "not-converged", iterations: iteration, step: last, unstable: 0, escaped: false };
}

/** Solves for the strains' step (into `work.step`) and the efforts' (into `work.denseRight`). */
function stepHeld(arm: ArmModel, bend: Float64Array, limp: number, work: RodWork): boolean {
  const held = 2 * (arm.sections - limp);
  gradientColumn(arm, 0, work);
  gatherModes(arm, limp, held, work);
  work.gathered = false; // `dense` is factored in place
  if (!factorLu(work.dense, held, work.columns, work.pivots)) return false;
  copyRange(work.factoredRate, work.tensionRate, 2 * arm.cables);
  solveGathered(arm, bend, limp, work);
  takeStep(arm, work);
  return true;
}

/** Whether the slackest cables are those for which the dense system was factored. */
function sameSpread(work: RodWork): boolean {
  const { tensionRate, factoredRate } = work;
  if (work.hasSkew) return false;
  for (let k = 0; k < tensionRate.length; k++) if (tensionRate[k] !== factoredRate[k]) return false;
  return true;
}
