/**
 * A second, plain computation of the balance: nothing of the solver is used.
 *
 * Frames come from a general matrix exponential; every rod's energy is written out for itself; the part beyond each span is cut
 * free and its loads and cut cables are summed in the world. What is left over is the residual. Matrices are [12]: three rows of
 * four, the fourth column a translation.
 */
import type { ArmModel, Section } from "../arm/index.ts";
import { rodSection } from "../arm/index.ts";
import { baseResidual, exitMotion } from "./balance-base.ts";
import { addPull, type Bench, toWorld } from "./balance-bench.ts";
import { addCables, tabulateShares } from "./balance-cables.ts";
import { lostBySoftening } from "./balance-softening.ts";
import { addFluid, addWalls } from "./balance-surroundings.ts";
import type { Load, RodState, Stance } from "./model.ts";

/**
 * Largest unbalanced moment of any joint, N m: bending and twist as they are, push and pull times the cable circle's radius.
 *
 * @param state strains and tensions as a solve left them
 */
export function checkBalance(arm: ArmModel, load: Load, stance: Stance, state: RodState): number {
  const bench = createBench(arm, stance);
  const { length, total, beyond, strain } = bench;
  const exit = exitMotion(arm, stance, state);
  placeFrames(arm, stance, state.strain, exit, bench);
  tabulateShares(arm, state, bench);
  // the energy of a rod that softens has corners in its third derivative: differences over less of it
  const fine = arm.softens ? 1 / 64 : 1;
  let worst = 0;
  for (let i = arm.spans - 1; i >= 0; i--) {
    const flexible = length[i] as number;
    if (flexible === 0) break;
    addLoads(arm, load, state, i + 1, bench);
    for (let k = 0; k < 6; k++) total[k] = beyond[k] as number;
    addCables(arm, state, i, bench);
    const section = arm.description.sections[arm.sectionOfSpan[i] as number] as Section;
    for (let k = 0; k < 4; k++) strain[k] = state.strain[4 * i + k] as number;
    for (let k = 0; k < 4; k++) {
      if (arm.freeStrain[4 * i + k] !== 1) continue;
      const step = fine * (k === 3 ? 1e-4 : 1e-3 / flexible);
      // the error of second order taken off
      const slope = (4 * slopeOf(arm, i, k, step / 2, bench) - slopeOf(arm, i, k, step, bench)) / 3;
      const left = slope / flexible + stopMoment(arm, i, k, bench);
      if (Number.isNaN(left)) return Number.NaN;
      worst = Math.max(worst, Math.abs(left) * (k === 3 ? section.cableRadius : 1));
    }
  }
  if (arm.baseRoot.length === 0) return worst;
  // with all spans in the guide it bears the tool alone
  if (length[arm.spans - 1] === 0) addTool(arm, load, state, bench);
  const lever = (arm.description.sections[0] as Section).cableRadius;
  return Math.max(worst, baseResidual(arm, stance, exit, wrenchOnExit(stance, exit, bench), lever));
}

/** [6] what all beyond the guide does to its exit, a unit of each part of its motion, N m and N. */
function wrenchOnExit(stance: Stance, motion: readonly number[], bench: Bench): number[] {
  const { beyond, total, plus, minus } = bench;
  for (let k = 0; k < 6; k++) total[k] = beyond[k] as number;
  return motion.map((middle, k) => {
    const slope = (step: number): number => {
      const moved = (by: number): number[] => motion.map((value, r) => (r === k ? middle + by : value));
      moveExit(stance, moved(step), bench, plus);
      moveExit(stance, moved(-step), bench, minus);
      return workBetween(bench) / (2 * step);
    };
    return (4 * slope(5e-4) - slope(1e-3)) / 3;
  });
}

/** Frame of the exit with the base as far as it gives, into `out`. */
function moveExit(stance: Stance, motion: readonly number[], bench: Bench, out: Float64Array): void {
  const { twist, next, term } = bench;
  const [x, y, z, u, v, w] = motion as [number, number, number, number, number, number];
  twist.set([0, -z, y, u, z, 0, -x, v, -y, x, 0, w]);
  exponential(bench);
  for (let r = 0; r < 3; r++) {
    for (let c = 0; c < 3; c++) term[4 * r + c] = stance.base[3 * r + c] as number;
    term[4 * r + 3] = (stance.base[9 + r] as number) + stance.exit * (stance.base[3 * r + 2] as number);
  }
  multiply(term, 0, next, 0, out, 0);
}

function createBench(arm: ArmModel, stance: Stance): Bench {
  const bench: Bench = {
    frames: new Float64Array(12 * (arm.spans + 1)),
    lead: arm.lead.slice(),
    length: arm.flexible.slice(),
    share: new Float64Array(arm.spans * arm.cables),
    beyond: new Float64Array(6),
    total: new Float64Array(6),
    rods: arm.description.sections.map(tabulateRods),
    strain: new Float64Array(4),
    plus: new Float64Array(12),
    minus: new Float64Array(12),
    twist: new Float64Array(12),
    term: new Float64Array(12),
    next: new Float64Array(12),
    from: new Float64Array(3),
    to: new Float64Array(3),
    pull: new Float64Array(3),
  };
  for (let i = 0; i < arm.spans; i++) {
    const flexible = arm.flexible[i] as number;
    const hidden = Math.min(Math.max(stance.exit - (arm.along[i] as number) - (arm.lead[i] as number), 0), flexible);
    const gone = flexible - hidden < Math.min(1e-5, flexible / 2);
    bench.lead[i] = (arm.lead[i] as number) + (gone ? flexible : hidden);
    bench.length[i] = gone ? 0 : flexible - hidden;
  }
  return bench;
}

function tabulateRods(section: Section): Float64Array {
  const table = new Float64Array(6 * section.rods.length);
  section.rods.forEach((rod, k) => {
    const { ei, gj, ea, shear } = rodSection(rod);
    const full = section.effectiveLength;
    const sideways = (12 * ei * (rod.x ** 2 + rod.y ** 2)) / full ** 2 / (1 + (12 * ei) / (shear * full * full));
    table.set([rod.x, rod.y, ei, gj, rod.attachment === "clamped" ? ea : 0, sideways], 6 * k);
  });
  return table;
}

function placeFrames(arm: ArmModel, stance: Stance, strain: Float64Array, exit: readonly number[], bench: Bench): void {
  const { frames, plus } = bench;
  moveExit(stance, exit, bench, plus);
  for (let r = 0; r < 3; r++) {
    for (let c = 0; c < 3; c++) frames[4 * r + c] = plus[4 * r + c] as number;
    frames[4 * r + 3] = (plus[4 * r + 3] as number) - stance.exit * (plus[4 * r + 2] as number);
  }
  for (let i = 0; i < arm.spans; i++) {
    for (let k = 0; k < 4; k++) bench.strain[k] = strain[4 * i + k] as number;
    placeSpan(arm, i, bench, plus);
    multiply(frames, 12 * i, plus, 0, frames, 12 * (i + 1));
  }
}

/** Lead, uniform strain, tail as one matrix. */
function placeSpan(arm: ArmModel, i: number, bench: Bench, out: Float64Array): void {
  const { strain, twist, next } = bench;
  const length = bench.length[i] as number;
  const x = length * (strain[0] as number);
  const y = length * (strain[1] as number);
  const z = length * (strain[2] as number);
  twist.fill(0);
  if (length > 0) {
    twist[1] = -z;
    twist[2] = y;
    twist[4] = z;
    twist[6] = -x;
    twist[8] = -y;
    twist[9] = x;
    twist[11] = length * (1 + (strain[3] as number));
  }
  exponential(bench);
  // over the tail, then the lead in front
  const tail = arm.tail[i] as number;
  for (let k = 0; k < 12; k++) out[k] = next[k] as number;
  for (let r = 0; r < 3; r++) out[4 * r + 3] = (out[4 * r + 3] as number) + tail * (out[4 * r + 2] as number);
  out[11] = (out[11] as number) + (bench.lead[i] as number);
}

/** `next` = exponential of `twist` (whose fourth row is zero) by scaling, Taylor series and squaring. */
function exponential(bench: Bench): void {
  const { twist, term, next } = bench;
  for (let k = 0; k < 12; k++) {
    twist[k] = (twist[k] as number) / 16;
    term[k] = twist[k] as number;
    next[k] = twist[k] as number;
  }
  for (let k = 2; k <= 12; k++) {
    for (let r = 0; r < 3; r++) {
      const a = (term[4 * r] as number) / k;
      const b = (term[4 * r + 1] as number) / k;
      const c = (term[4 * r + 2] as number) / k;
      for (let s = 0; s < 4; s++) {
        const value = a * (twist[s] as number) + b * (twist[4 + s] as number) + c * (twist[8 + s] as number);
        term[4 * r + s] = value;
        next[4 * r + s] = (next[4 * r + s] as number) + value;
      }
    }
  }
  for (let r = 0; r < 3; r++) next[5 * r] = (next[5 * r] as number) + 1;
  for (let k = 0; k < 4; k++) {
    for (let n = 0; n < 12; n++) term[n] = next[n] as number;
    multiply(term, 0, term, 0, next, 0);
  }
}

/** c = a b for matrices that end in a row 0 0 0 1; c is neither of them. */
function multiply(a: Float64Array, p: number, b: Float64Array, q: number, c: Float64Array, o: number): void {
  for (let r = 0; r < 3; r++) {
    const a0 = a[p + 4 * r] as number;
    const a1 = a[p + 4 * r + 1] as number;
    const a2 = a[p + 4 * r + 2] as number;
    for (let s = 0; s < 4; s++) {
      const rest = s === 3 ? (a[p + 4 * r + 3] as number) : 0;
      c[o + 4 * r + s] = a0 * (b[q + s] as number) + a1 * (b[q + 4 + s] as number) + a2 * (b[q + 8 + s] as number) + rest;
    }
  }
}

/** Energy of the rods less the work of all beyond, a unit of strain k of span i. */
function slopeOf(arm: ArmModel, i: number, k: number, step: number, bench: Bench): number {
  const { frames, strain, plus, minus, term } = bench;
  const middle = strain[k] as number;
  strain[k] = middle + step;
  const up = rodEnergy(arm, i, bench);
  placeSpan(arm, i, bench, plus);
  strain[k] = middle - step;
  const down = rodEnergy(arm, i, bench);
  placeSpan(arm, i, bench, minus);
  strain[k] = middle;
  multiply(frames, 12 * i, plus, 0, term, 0);
  plus.set(term);
  multiply(frames, 12 * i, minus, 0, term, 0);
  minus.set(term);
  return (up - down - workBetween(bench)) / (2 * step);
}

/** Energy of all rods and hoses of a span, each rod for itself. */
function rodEnergy(arm: ArmModel, i: number, bench: Bench): number {
  const j = arm.sectionOfSpan[i] as number;
  const section = arm.description.sections[j] as Section;
  const rods = bench.rods[j] as Float64Array;
  const { strain } = bench;
  const length = bench.length[i] as number;
  const share = length / section.flexible;
  const reach = section.effectiveLength * share;
  const x = length * ((strain[0] as number) - (arm.rest[4 * i] as number));
  const y = length * ((strain[1] as number) - (arm.rest[4 * i + 1] as number));
  const z = length * ((strain[2] as number) - (arm.rest[4 * i + 2] as number));
  const e = length * ((strain[3] as number) - (arm.rest[4 * i + 3] as number));
  const turned = arm.turned[i] === 1;
  let energy = 0;
  for (let k = 0; k < rods.length; k += 6) {
    const rx = turned ? -(rods[k + 1] as number) : (rods[k] as number);
    const ry = turned ? (rods[k] as number) : (rods[k + 1] as number);
    energy += (0.5 / reach) * ((rods[k + 2] as number) * (x * x + y * y) + ((rods[k + 3] as number) + (rods[k + 5] as number)) * z * z);
    const stretch = (e + ry * x - rx * y) / reach + (0.6 * (rx * rx + ry * ry) * z * z) / (reach * reach);
    energy += 0.5 * (rods[k + 4] as number) * reach * stretch * stretch;
    if (arm.softens) {
      const axial = (rods[k + 4] as number) > 0 ? stretch : 0;
      energy -= reach * lostBySoftening(arm, (arm.firstRod[j] as number) + k / 6, axial, Math.sqrt(x * x + y * y) / reach);
    }
  }
  for (const hose of section.hoses) {
    energy += (0.5 / (section.pitch * share)) * (hose.bendingStiffness * (x * x + y * y) + hose.torsionStiffness * z * z);
  }
  return energy;
}

/** Moment of a joint's stop about its x or y, N m: none up to the greatest angle, growing smoothly to a straight line within a fiftieth more. */
function stopMoment(arm: ArmModel, i: number, k: number, bench: Bench): number {
  if (k > 1) return 0;
  const { jointLimit, outerDiameter, effectiveLength, stopStiffness } = arm.description.sections[arm.sectionOfSpan[i] as number] as Section;
  const length = bench.length[i] as number;
  const angle = length * Math.hypot(bench.strain[0] as number, bench.strain[1] as number);
  if (angle <= jointLimit) return 0;
  const rods = bench.rods[arm.sectionOfSpan[i] as number] as Float64Array;
  let pulled = 0;
  for (let r = 4; r < rods.length; r += 6) pulled += rods[r] as number;
  const stiffness = stopStiffness ?? (pulled / effectiveLength) * (outerDiameter / 2) ** 2;
  // the line starts half the onset late; before it a parabola that meets it with its own slope
  const width = jointLimit / 50;
  const late = angle - jointLimit - width / 2;
  const size = late >= width / 2 ? stiffness * late : (stiffness * (late + width / 2) ** 2) / (2 * width);
  return (size * length * (bench.strain[k] as number)) / angle;
}

function addLoads(arm: ArmModel, load: Load, state: RodState, i: number, bench: Bench): void {
  const { frames, beyond, from, pull } = bench;
  for (let k = 0; k < 3; k++) pull[k] = (load.gravity[k] as number) * (arm.mass[i] as number);
  toWorld(frames, i, 0, 0, 0, from);
  addPull(beyond, bench);
  if (load.fluid !== undefined) addFluid(arm, load.fluid, load.gravity, i, false, bench);
  if (load.walls !== undefined) addWalls(arm, load.walls, state, i, false, bench);
  for (const point of load.forces) {
    if (point.vertebra !== i) continue;
    for (let k = 0; k < 3; k++) pull[k] = point.force[k] as number;
    toWorld(frames, i, point.at[0], point.at[1], point.at[2], from);
    addPull(beyond, bench);
  }
  if (i === arm.spans) addTool(arm, load, state, bench);
}

/** What hangs on the tool, and wrenches on the tip. */
function addTool(arm: ArmModel, load: Load, state: RodState, bench: Bench): void {
  const { frames, beyond, from, pull } = bench;
  const i = arm.spans;
  if (load.fluid !== undefined) addFluid(arm, load.fluid, load.gravity, i, true, bench);
  if (load.walls !== undefined) addWalls(arm, load.walls, state, i, true, bench);
  const { tool } = arm.description;
  for (let k = 0; k < 3; k++) pull[k] = (load.gravity[k] as number) * tool.mass * (load.toolShare ?? 1);
  toWorld(frames, i, tool.centre[0], tool.centre[1], tool.centre[2], from);
  addPull(beyond, bench);
  const turned = (r: number, at: number): number => {
    const o = 12 * i + 4 * r;
    const f = load.following ?? [0, 0, 0, 0, 0, 0];
    return (
      (frames[o] as number) * (f[at] as number) +
      (frames[o + 1] as number) * (f[at + 1] as number) +
      (frames[o + 2] as number) * (f[at + 2] as number)
    );
  };
  for (let k = 0; k < 3; k++) pull[k] = turned(k, 3);
  toWorld(frames, i, 0, 0, 0, from);
  addPull(beyond, bench);
  for (let k = 0; k < 3; k++) beyond[3 + k] = (beyond[3 + k] as number) + turned(k, 0) + (load.moment?.[k] ?? 0);
}

/** Work of the wrench `total` on a body that goes from `minus` to `plus`. */
function workBetween(bench: Bench): number {
  const { total, minus, plus } = bench;
  let work = 0;
  for (let k = 0; k < 3; k++) {
    const a = (k + 1) % 3;
    const b = (k + 2) % 3;
    // small rotation (to * from') - 1, antisymmetric part
    let sine = 0;
    for (let n = 0; n < 3; n++)
      sine += ((plus[4 * b + n] as number) * (minus[4 * a + n] as number) - (plus[4 * a + n] as number) * (minus[4 * b + n] as number)) / 2;
    const middleA = ((plus[4 * a + 3] as number) + (minus[4 * a + 3] as number)) / 2;
    const middleB = ((plus[4 * b + 3] as number) + (minus[4 * b + 3] as number)) / 2;
    const about = middleA * (total[b] as number) - middleB * (total[a] as number);
    work += (total[k] as number) * ((plus[4 * k + 3] as number) - (minus[4 * k + 3] as number)) + ((total[3 + k] as number) - about) * sine;
  }
  return work;
}
