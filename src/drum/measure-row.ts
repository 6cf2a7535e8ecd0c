/** One row of the table: what a coil, wound up or being paid out, asks of joints, rods and cables. */
import { type ArmModel, linearStrainAt, type Section } from "../arm/index.ts";
import { createInspection, driveTension, inspectShape, type RodState, type RodWork, type SolveReport, turnAt } from "../rod/index.ts";
import { paidOut, sectionAt } from "./hold-coil.ts";
import type { Coil, DrumModel, DrumRow, Pull, Worst } from "./model.ts";

const standardGravity = 9.80665;

function isHeld({ status }: SolveReport): boolean {
  return status === "stable" || status === "slack";
}

/** @param work as the solve left it */
export function measurePull(arm: ArmModel, state: RodState, report: SolveReport, work: RodWork): Pull {
  const { workingLoad } = arm;
  if (!isHeld(report)) {
    const unknown = state.tension.map(() => Number.NaN);
    return { status: report.status, entry: unknown, drive: unknown, cable: 0, use: Number.NaN, most: Number.NaN, least: Number.NaN };
  }
  const turned = gatherTurns(arm, work);
  let cable = 0;
  let use = 0;
  let least = Number.POSITIVE_INFINITY;
  const entry = state.tension.slice();
  const drive = entry.map((_, c) => driveTension(arm, state, c));
  for (let c = 0; c < arm.cables; c++) {
    const share = highest(arm, state, c, turned[c] as number) / (workingLoad[c] as number);
    if (share > use) {
      use = share;
      cable = c;
    }
    const end = arm.firstSpan[(arm.sectionOfCable[c] as number) + 1] as number;
    for (let i = work.firstFree; i < end; i++) {
      const shared = work.hasGrip ? (work.share[i * arm.cables + c] as number) : 1;
      least = Math.min(least, (entry[c] as number) * shared);
    }
  }
  return { status: report.status, entry, drive, cable, use, most: use * (workingLoad[cable] as number), least };
}

/** Greatest tension of a cable anywhere, with the coefficients at their high ends, N. */
function highest(arm: ArmModel, state: RodState, c: number, turned: number): number {
  const end = arm.firstSpan[(arm.sectionOfCable[c] as number) + 1] as number;
  const conduit = (state.grip[arm.cables * arm.spans + c] as number) * (arm.conduitFriction[2] as number) * arm.conduitTurn;
  // at its entry, at its drive, and where it ends; what it needs where it works is known with the nominal coefficient
  const entry = state.tension[c] as number;
  const grip = end > 0 ? (state.grip[(end - 1) * arm.cables + c] as number) : 0;
  const more = Math.exp(Math.max(0, grip) * ((arm.holeFriction[2] as number) - (arm.holeFriction[1] as number)) * turned);
  const last = entry * Math.exp(-grip * (arm.holeFriction[1] as number) * turned);
  return Math.max(entry * more * Math.exp(Math.max(0, conduit)), last);
}

/** @param count spans on the drum */
export function measureRow(
  model: DrumModel,
  arm: ArmModel,
  coil: Coil,
  count: number,
  bend: Float64Array,
  state: RodState,
  report: SolveReport,
  work: RodWork,
): DrumRow {
  const seen = createInspection(arm);
  inspectShape(arm, state, work, seen);
  // nothing of a shape that is no balance is told; what the geometry alone asks of the joints stays
  if (!isHeld(report)) {
    seen.strain.fill(Number.NaN);
    work.frame.fill(Number.NaN);
  }
  const wrap = sum(coil.turn, count);
  const { gap, press } = offsets(arm, coil, count, work);
  const { friction } = model;
  return {
    spans: count,
    paidOut: paidOut(arm, count),
    turns: ((coil.angle[count] as number) - (coil.angle[0] as number)) / (2 * Math.PI),
    wrap,
    // what the geometry asks for counts where the bend is not even
    joint: worstOf(
      arm,
      count,
      (i) => Math.max(isHeld(report) ? (seen.jointAngle[i] as number) : 0, coil.joint[i] as number),
      (s) => s.jointLimit,
    ),
    strain: worstOf(
      arm,
      count,
      (i) => seen.strain[i] as number,
      leastOf((material) => material.allowedStrain),
    ),
    line: worstOf(
      arm,
      count,
      (i) => seen.strain[i] as number,
      leastOf((material) => linearStrainAt(material, 0)),
    ),
    bend: bend.slice(),
    winding: measurePull(arm, state, report, work),
    paying: undefined,
    capstan: isHeld(report) ? worstCapstan(arm, work) : { cable: 0, turned: Number.NaN, factor: Number.NaN, most: Number.NaN },
    gap,
    press,
    anchor: [Math.exp(-friction.high * wrap), Math.exp(-friction.low * wrap)],
    slide: [slideOf(arm, coil, count, friction.low), slideOf(arm, coil, count, friction.high)],
    lift: count === 0 ? 0 : Math.max(...coil.curvature.subarray(0, count)),
  };
}

function leastOf(of: (material: Section["rods"][number]["material"]) => number): (section: Section) => number {
  return (section) => Math.min(...section.rods.map((rod) => of(rod.material)));
}

function worstOf(arm: ArmModel, count: number, value: (span: number) => number, limitOf: (section: Section) => number): Worst {
  let worst: Worst = { value: 0, limit: limitOf(sectionAt(arm, 0)), use: 0, span: 0 };
  for (let i = 0; i < count; i++) {
    const here = value(i);
    const limit = limitOf(sectionAt(arm, i));
    if (Number.isNaN(here)) return { value: here, limit, use: here, span: i };
    if (here / limit > worst.use) worst = { value: here, limit, use: here / limit, span: i };
  }
  return worst;
}

/** Cable with the largest turning, and how much its tension falls by it. */
function worstCapstan(arm: ArmModel, work: RodWork): DrumRow["capstan"] {
  const turns = gatherTurns(arm, work);
  const turned = Math.max(...turns);
  return {
    cable: turns.indexOf(turned),
    turned,
    factor: Math.exp((arm.holeFriction[1] as number) * turned),
    most: Math.exp((arm.holeFriction[2] as number) * turned),
  };
}

/** [cable] turning gathered over its holes, never netted, rad. */
function gatherTurns(arm: ArmModel, work: RodWork): Float64Array {
  const turns = new Float64Array(arm.cables);
  for (let i = work.firstFree; i < arm.spans; i++) {
    for (let c = arm.firstCable[arm.sectionOfSpan[i] as number] as number; c < arm.cables; c++) {
      turns[c] = (turns[c] as number) + turnAt(arm, i, c, work);
    }
  }
  return turns;
}

/** How far the held shape's sections bow out from and into where they should lie, each with both ends on the core, m. */
function offsets(arm: ArmModel, coil: Coil, count: number, work: RodWork): { gap: number; press: number } {
  const off = new Float64Array(count + 1);
  for (let i = 0; i <= count; i++) {
    const x = work.frame[12 * i + 9] as number;
    const y = work.frame[12 * i + 10] as number;
    off[i] = Math.sqrt(x * x + y * y) - (coil.distance[i] as number);
  }
  let gap = 0;
  let press = 0;
  for (let first = 0; first < count; ) {
    const end = Math.min(arm.firstSpan[(arm.sectionOfSpan[first] as number) + 1] as number, count);
    // a section that goes far round is looked at in quarter turns
    let last = first + 1;
    while (last < end && (coil.angle[last + 1] as number) - (coil.angle[first] as number) <= Math.PI / 2) last++;
    for (let i = first + 1; i < last; i++) {
      // a rigid motion of an arc adds a cosine and a sine of the angle along it to its distances
      const whole = (coil.angle[last] as number) - (coil.angle[first] as number);
      const along = (coil.angle[i] as number) - (coil.angle[first] as number);
      const moved = ((off[first] as number) * Math.sin(whole - along) + (off[last] as number) * Math.sin(along)) / Math.sin(whole);
      gap = Math.max(gap, (off[i] as number) - moved);
      press = Math.max(press, moved - (off[i] as number));
    }
    first = last;
  }
  return { gap, press };
}

/**
 * Pull that slides the coil round a still core, held by nothing in the middle: each piece is pressed on by its weight and by the pull before
 * it, dT = mu (T + w R) d(turning). As if the core carried the weight all round, which it does not: an upper bound.
 */
function slideOf(arm: ArmModel, coil: Coil, count: number, mu: number): number {
  let pull = 0;
  for (let i = 0; i < count; i++) {
    const turn = coil.turn[i] as number;
    const weight = (arm.mass[i + 1] as number) * standardGravity;
    const factor = Math.exp(mu * turn);
    pull = pull * factor + (weight / turn) * (factor - 1);
  }
  return pull;
}

function sum(values: Float64Array, count: number): number {
  let total = 0;
  for (let k = 0; k < count; k++) total += values[k] as number;
  return total;
}
