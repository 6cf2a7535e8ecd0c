/**
 * A second, plain computation of the balance: nothing of the solver is used.
 *
 * Frames come from a general matrix exponential; every rod's energy is written out for itself; the part beyond each span is cut
 * free and its loads and cut cables are summed in the world. What is left over is the residual.
 */
import type { ArmModel, Section } from "../arm/index.ts";
import { rodSection } from "../arm/index.ts";
import type { Load, RodState, Stance } from "./model.ts";

type Matrix = number[];

/**
 * Largest unbalanced moment of any joint, N m: bending and twist as they are, push and pull times the cable circle's radius.
 *
 * @param state strains and tensions as a solve left them
 */
export function checkBalance(arm: ArmModel, load: Load, stance: Stance, state: RodState): number {
  const spans = freeSpans(arm, stance);
  const frames = placeFrames(arm, stance, state.strain, spans);
  let worst = 0;
  // wrench of everything beyond the span, about the world's origin
  const force = [0, 0, 0];
  const moment = [0, 0, 0];
  const push = (f: readonly number[], at: readonly number[]): void => {
    const m = cross(at, f);
    for (let k = 0; k < 3; k++) {
      force[k] = (force[k] as number) + (f[k] as number);
      moment[k] = (moment[k] as number) + (m[k] as number);
    }
  };
  for (let i = arm.spans - 1; i >= 0; i--) {
    const span = spans[i] as FreeSpan;
    if (span.length === 0) break;
    const upper = frames[i + 1] as Matrix;
    addLoads(arm, load, i + 1, upper, push, moment);
    const cut = cutCables(arm, state, i, span.lead, frames[i] as Matrix, upper);
    const total = { f: force.map((v, k) => v + (cut.f[k] as number)), m: moment.map((v, k) => v + (cut.m[k] as number)) };
    const strain = Array.from(state.strain.subarray(4 * i, 4 * i + 4));
    const section = arm.description.sections[arm.sectionOfSpan[i] as number] as Section;
    for (let j = 0; j < 4; j++) {
      if (arm.freeStrain[4 * i + j] !== 1) continue;
      const step = j === 3 ? 1e-4 : 1e-3 / span.length;
      const shifted = (s: number): number[] => strain.map((v, k) => (k === j ? v + s : v));
      const slope = (s: number): number => {
        const rods = (rodEnergy(section, arm.turned[i] === 1, span.length, shifted(s), arm.rest, 4 * i) - rodEnergy(section, arm.turned[i] === 1, span.length, shifted(-s), arm.rest, 4 * i)) / (2 * s);
        const plus = multiply(frames[i] as Matrix, spanMatrix(arm, i, span, shifted(s)));
        const minus = multiply(frames[i] as Matrix, spanMatrix(arm, i, span, shifted(-s)));
        return rods - workOf(total, minus, plus) / (2 * s);
      };
      const left = (4 * slope(step / 2) - slope(step)) / 3 / span.length;
      worst = Math.max(worst, Math.abs(left) * (j === 3 ? section.cableRadius : 1));
      if (Number.isNaN(left)) return Number.NaN;
    }
  }
  return worst;
}

interface FreeSpan {
  lead: number;
  length: number;
}

function freeSpans(arm: ArmModel, stance: Stance): FreeSpan[] {
  return Array.from({ length: arm.spans }, (_, i) => {
    const lead = arm.lead[i] as number;
    const flexible = arm.flexible[i] as number;
    const hidden = Math.min(Math.max(stance.exit - (arm.along[i] as number) - lead, 0), flexible);
    return flexible - hidden < Math.min(1e-5, flexible / 2) ? { lead: lead + flexible, length: 0 } : { lead: lead + hidden, length: flexible - hidden };
  });
}

function placeFrames(arm: ArmModel, stance: Stance, strain: Float64Array, spans: readonly FreeSpan[]): Matrix[] {
  const b = stance.base;
  const frames: Matrix[] = [[...b.subarray(0, 3), b[9] as number, ...b.subarray(3, 6), b[10] as number, ...b.subarray(6, 9), b[11] as number, 0, 0, 0, 1]];
  for (let i = 0; i < arm.spans; i++) {
    frames.push(multiply(frames[i] as Matrix, spanMatrix(arm, i, spans[i] as FreeSpan, Array.from(strain.subarray(4 * i, 4 * i + 4)))));
  }
  return frames;
}

/** Lead, uniform strain, tail as a 4 x 4 matrix. */
function spanMatrix(arm: ArmModel, i: number, span: FreeSpan, u: readonly number[]): Matrix {
  const along = (z: number): Matrix => [1, 0, 0, 0, 0, 1, 0, 0, 0, 0, 1, z, 0, 0, 0, 1];
  const [x, y, z, e] = u.map((v) => v * span.length) as [number, number, number, number];
  const bend = span.length === 0 ? along(0) : exponential([0, -z, y, 0, z, 0, -x, 0, -y, x, 0, span.length + e, 0, 0, 0, 0]);
  return multiply(multiply(along(span.lead), bend), along(arm.tail[i] as number));
}

/** Matrix exponential by scaling, Taylor series and squaring. */
function exponential(a: Matrix): Matrix {
  let result: Matrix = [1, 0, 0, 0, 0, 1, 0, 0, 0, 0, 1, 0, 0, 0, 0, 1];
  const small = a.map((v) => v / 16);
  let term = result;
  for (let k = 1; k <= 14; k++) {
    term = multiply(term, small).map((v) => v / k);
    result = result.map((v, n) => v + (term[n] as number));
  }
  for (let k = 0; k < 4; k++) result = multiply(result, result);
  return result;
}

function multiply(a: Matrix, b: Matrix): Matrix {
  const c: Matrix = [];
  for (let r = 0; r < 4; r++) {
    for (let s = 0; s < 4; s++) {
      let sum = 0;
      for (let k = 0; k < 4; k++) sum += (a[4 * r + k] as number) * (b[4 * k + s] as number);
      c.push(sum);
    }
  }
  return c;
}

function toWorld(m: Matrix, p: readonly number[]): number[] {
  return [0, 1, 2].map((r) => (m[4 * r] as number) * (p[0] as number) + (m[4 * r + 1] as number) * (p[1] as number) + (m[4 * r + 2] as number) * (p[2] as number) + (m[4 * r + 3] as number));
}

function cross(a: readonly number[], b: readonly number[]): number[] {
  const [a0, a1, a2] = a as [number, number, number];
  const [b0, b1, b2] = b as [number, number, number];
  return [a1 * b2 - a2 * b1, a2 * b0 - a0 * b2, a0 * b1 - a1 * b0];
}

function addLoads(arm: ArmModel, load: Load, i: number, frame: Matrix, push: (f: readonly number[], at: readonly number[]) => void, moment: number[]): void {
  push(load.gravity.map((g) => g * (arm.mass[i] as number)), toWorld(frame, [0, 0, 0]));
  if (i === arm.spans) {
    const tool = arm.description.tool;
    push(load.gravity.map((g) => g * tool.mass * (load.toolShare ?? 1)), toWorld(frame, tool.centre));
    const turn = (v: readonly number[]): number[] => toWorld(frame, v).map((w, k) => w - (frame[4 * k + 3] as number));
    const follow = load.following ?? [0, 0, 0, 0, 0, 0];
    push(turn(follow.slice(3)), toWorld(frame, [0, 0, 0]));
    turn(follow.slice(0, 3)).forEach((m, k) => {
      moment[k] = (moment[k] as number) + m + (load.moment?.[k] ?? 0);
    });
  }
  for (const point of load.forces) if (point.vertebra === i) push(point.force, toWorld(frame, point.at));
}

/** Pull of the cut cables on the part beyond span i, about the world's origin. */
function cutCables(arm: ArmModel, state: RodState, i: number, lead: number, lower: Matrix, upper: Matrix): { f: number[]; m: number[] } {
  const f = [0, 0, 0];
  const m = [0, 0, 0];
  for (let c = arm.firstCable[arm.sectionOfSpan[i] as number] as number; c < arm.cables; c++) {
    const hole = [arm.cableX[c] as number, arm.cableY[c] as number];
    // from hole to hole of the facing faces; where the guide covers part of a hinge, from its exit
    const from = toWorld(upper, [...hole, -(arm.tail[i] as number)]);
    const to = toWorld(lower, [...hole, lead]);
    const along = to.map((v, k) => v - (from[k] as number));
    const size = Math.sqrt(along.reduce((sum, v) => sum + v * v, 0));
    const pull = along.map((v) => (v / size) * (state.tension[c] as number));
    const turn = cross(from, pull);
    for (let k = 0; k < 3; k++) {
      f[k] = (f[k] as number) + (pull[k] as number);
      m[k] = (m[k] as number) + (turn[k] as number);
    }
  }
  return { f, m };
}

/** Virtual work of a wrench about the world's origin on a body that goes from one frame to another. */
function workOf(total: { f: number[]; m: number[] }, from: Matrix, to: Matrix): number {
  // small rotation (to * from') - 1, antisymmetric part
  const turn: number[][] = [];
  for (let r = 0; r < 3; r++) {
    turn.push([0, 1, 2].map((s) => [0, 1, 2].reduce((sum, k) => sum + (to[4 * r + k] as number) * (from[4 * s + k] as number), 0)));
  }
  const sine = [
    (((turn[2] as number[])[1] as number) - ((turn[1] as number[])[2] as number)) / 2,
    (((turn[0] as number[])[2] as number) - ((turn[2] as number[])[0] as number)) / 2,
    (((turn[1] as number[])[0] as number) - ((turn[0] as number[])[1] as number)) / 2,
  ];
  const middle = [0, 1, 2].map((k) => ((to[4 * k + 3] as number) + (from[4 * k + 3] as number)) / 2);
  const shift = [0, 1, 2].map((k) => (to[4 * k + 3] as number) - (from[4 * k + 3] as number));
  const about = cross(middle, total.f);
  return [0, 1, 2].reduce((sum, k) => sum + (total.f[k] as number) * (shift[k] as number) + ((total.m[k] as number) - (about[k] as number)) * (sine[k] as number), 0);
}

/** Energy of all rods and hoses of a span, each rod for itself. */
function rodEnergy(section: Section, turned: boolean, length: number, strain: readonly number[], rest: Float64Array, o: number): number {
  const d = strain.map((v, k) => v - (rest[o + k] as number)) as [number, number, number, number];
  const share = length / section.flexible;
  const reach = section.effectiveLength * share;
  const theta = d.map((v) => v * length) as [number, number, number, number];
  let energy = 0;
  for (const rod of section.rods) {
    const [x, y] = turned ? [-rod.y, rod.x] : [rod.x, rod.y];
    const { ei, gj, ea, shear } = rodSection(rod);
    const full = section.effectiveLength;
    const rho2 = x * x + y * y;
    const sideways = (12 * ei * rho2) / full ** 2 / (1 + (12 * ei) / (shear * full * full));
    energy += (0.5 / reach) * (ei * (theta[0] ** 2 + theta[1] ** 2) + (gj + sideways) * theta[2] ** 2);
    if (rod.attachment === "clamped") {
      const stretch = (theta[3] + y * theta[0] - x * theta[1]) / reach + (0.6 * rho2 * theta[2] ** 2) / reach ** 2;
      energy += 0.5 * ea * reach * stretch ** 2;
    }
  }
  for (const hose of section.hoses) {
    energy += (0.5 / (section.pitch * share)) * (hose.bendingStiffness * (theta[0] ** 2 + theta[1] ** 2) + hose.torsionStiffness * theta[2] ** 2);
  }
  return energy;
}
