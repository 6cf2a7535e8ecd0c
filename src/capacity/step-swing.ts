/**
 * The two lowest natural frequencies with the drives locked: inverse iteration on the loaded shape, one solve a step.
 *
 * The masses of the vertebrae and of the tool (at its centre) push along the last guess of a motion, forwards and backwards; half the
 * difference of the two shapes is the next guess. Two guesses go together, as most arms swing nearly alike in two planes, and are
 * told apart by Rayleigh and Ritz: upper bounds that settle at the lowest frequencies. What turns without moving its centre counts for nothing.
 */
import { type ArmModel, usualDamping } from "../arm/index.ts";
import type { Quantity } from "../base/index.ts";
import { pointOf } from "../math/index.ts";
import { type Load, type PointForce, type SolveStatus, setStance, solveLocked, tipCompliance } from "../rod/index.ts";
import type { LockState } from "./lock-drives.ts";
import { type CapacityWork, carryOver, type Hold, lengthOut, loadOf, type Vector } from "./model.ts";

/** Plain data. */
export interface SwingState {
  stage: "ahead" | "back" | "done";
  status: SolveStatus;
  /** which of the two guesses is pushed along */
  guess: number;
  /** [guess, mass, 3] the guesses and what came of them; masses are vertebrae 1 to spans, then the tool */
  readonly shape: Float64Array;
  readonly reply: Float64Array;
  /** [mass, 3] places with the push ahead, m */
  readonly ahead: Float64Array;
  /** [guess] push a kg and unit of the shape, N */
  readonly push: Float64Array;
  /** [2] rad/s, the lower first; NaN until known */
  readonly rate: Float64Array;
  iterations: number;
}

export interface Swing {
  /** the lower one found to 1e-6 of itself */
  readonly found: boolean;
  /** first and second natural frequency, Hz */
  readonly frequency: number;
  readonly second: number;
  /** time until the first swing stays within 2 % of its start, s; infinite without damping */
  readonly settling: number;
  /** the same with the most and the least damping of a range, s */
  readonly settlingLeast: number;
  readonly settlingMost: number;
}

const mostIterations = 40;
const nearEnough = 1e-6;
/** share of the length out that a push moves the arm by: a small swing, yet far from rounding */
const amplitude = 1e-4;

export function createSwingState(arm: ArmModel): SwingState {
  const numbers = 3 * (arm.spans + 1);
  return {
    stage: "ahead",
    status: "not-converged",
    guess: 0,
    shape: new Float64Array(2 * numbers),
    reply: new Float64Array(2 * numbers),
    ahead: new Float64Array(numbers),
    push: new Float64Array(2),
    rate: new Float64Array(2).fill(Number.NaN),
    iterations: 0,
  };
}

/** One solve (two in the first step); nothing happens once `done`. @param lock must be `locked` */
export function stepSwing(arm: ArmModel, hold: Hold, lock: LockState, state: SwingState, work: CapacityWork): void {
  if (state.stage === "done") return;
  setStance(arm, hold.stance, work.rod);
  if (state.push[0] === 0 && !startSwing(arm, hold, lock, state, work)) return;
  const push = state.push[state.guess] as number;
  if (!solvePushed(arm, hold, lock, state, state.stage === "ahead" ? push : -push, work)) return;
  const { ahead, reply } = state;
  const o = state.guess * ahead.length;
  if (state.stage === "ahead") {
    findPlaces(arm, work, ahead, 0);
    state.stage = "back";
    return;
  }
  findPlaces(arm, work, reply, o);
  for (let k = 0; k < ahead.length; k++) reply[o + k] = ((ahead[k] as number) - (reply[o + k] as number)) / (2 * push);
  state.stage = "ahead";
  state.guess = 1 - state.guess;
  if (state.guess === 0) tellApart(arm, hold, state, work);
}

/**
 * @param damping share of critical, 0 to 1, or with its range, as `dampingOf` gives it
 * @see docs/sources.md#first-swing
 */
export function readSwing(state: SwingState, damping: number | Quantity = 0): Swing {
  const found = state.stage === "done" && (state.status === "stable" || state.status === "slack");
  const none = Number.NaN;
  // the envelope exp(-damping rate time) comes down to 2 %
  const settle = (share: number): number => (found ? Math.log(50) / (share * (state.rate[0] as number)) : none);
  return {
    found,
    frequency: found ? (state.rate[0] as number) / (2 * Math.PI) : none,
    second: found ? (state.rate[1] as number) / (2 * Math.PI) : none,
    settling: settle(typeof damping === "number" ? damping : damping.nominal),
    settlingLeast: settle(typeof damping === "number" ? damping : damping.high),
    settlingMost: settle(typeof damping === "number" ? damping : damping.low),
  };
}

/** Damping of an arm's first swing, share of critical: its own where it is known, else what is usual. */
export function dampingOf(arm: ArmModel): Quantity {
  return arm.description.damping ?? usualDamping;
}

/** The first guesses: aside along the base's own x and y, growing along the arm. */
function startSwing(arm: ArmModel, hold: Hold, lock: LockState, state: SwingState, work: CapacityWork): boolean {
  if (!solvePushed(arm, hold, lock, state, 0, work)) return false;
  const compliance = new Float64Array(36);
  tipCompliance(arm, work.trial, "locked", work.rod, compliance);
  const give = (compliance[21] as number) + (compliance[28] as number) + (compliance[35] as number);
  const numbers = state.ahead.length;
  let all = 0;
  for (let m = 0; m <= arm.spans; m++) {
    all += massOf(arm, m, work);
    const size = Math.min(1, (m + 1) / arm.spans) ** 2;
    for (let guess = 0; guess < 2; guess++)
      for (let k = 0; k < 3; k++) state.shape[guess * numbers + 3 * m + k] = size * (hold.stance.base[3 * k + guess] as number);
  }
  if (!(all > 0) || !(give > 0)) {
    state.status = "not-converged";
    state.stage = "done";
    return false;
  }
  state.push.fill((amplitude * lengthOut(arm, hold.stance)) / (give * all));
  return true;
}

/** Rayleigh and Ritz over the two replies; the next guesses are the two motions found. */
function tellApart(arm: ArmModel, hold: Hold, state: SwingState, work: CapacityWork): void {
  const { shape, reply } = state;
  const n = state.ahead.length;
  // stiffness and mass between the replies: a reply's stiffness is what pushed it
  const stiff = [0, 0, 0];
  const mass = [0, 0, 0];
  for (let k = 0; k < n; k++) {
    const m = massOf(arm, Math.floor(k / 3), work);
    const [u, v] = [reply[k] as number, reply[n + k] as number];
    const [p, q] = [m * (shape[k] as number), m * (shape[n + k] as number)];
    stiff[0] = (stiff[0] as number) + u * p;
    stiff[1] = (stiff[1] as number) + (u * q + v * p) / 2;
    stiff[2] = (stiff[2] as number) + v * q;
    mass[0] = (mass[0] as number) + m * u * u;
    mass[1] = (mass[1] as number) + m * u * v;
    mass[2] = (mass[2] as number) + m * v * v;
  }
  const [a, b, c] = stiff as [number, number, number];
  const [d, e, f] = mass as [number, number, number];
  // det(stiff - r mass) = 0
  const qa = d * f - e * e;
  const qb = -(a * f + c * d - 2 * b * e);
  const qc = a * c - b * b;
  const high = (-qb + Math.sqrt(Math.max(0, qb * qb - 4 * qa * qc))) / (2 * qa);
  const rates = [Math.sqrt(qc / qa / high), Math.sqrt(high)];
  for (let guess = 0; guess < 2; guess++) {
    const r = (rates[guess] as number) ** 2;
    // the row of stiff - r mass that is less rounded; alike frequencies leave the replies as they are
    const rows = [
      [a - r * d, b - r * e],
      [b - r * e, c - r * f],
    ] as const;
    const row = Math.abs(rows[0][0]) + Math.abs(rows[0][1]) > Math.abs(rows[1][0]) + Math.abs(rows[1][1]) ? rows[0] : rows[1];
    const alike = !(Math.abs(row[0]) + Math.abs(row[1]) > 1e-9 * (Math.abs(a) + Math.abs(c)));
    const [x, y] = alike ? [1 - guess, guess] : [row[1], -row[0]];
    let largest = 0;
    for (let k = 0; k < n; k++) {
      const value = x * (reply[k] as number) + y * (reply[n + k] as number);
      shape[guess * n + k] = value;
      largest = Math.max(largest, Math.abs(value));
    }
    for (let k = 0; k < n; k++) shape[guess * n + k] = (shape[guess * n + k] as number) / largest;
    state.push[guess] = amplitude * lengthOut(arm, hold.stance) * r;
  }
  const settled = Math.abs((rates[0] as number) - (state.rate[0] as number)) <= nearEnough * (rates[0] as number);
  state.rate.set(rates);
  state.iterations++;
  if (!settled && state.iterations < mostIterations) return;
  state.stage = "done";
  if (!settled) state.status = "not-converged";
}

/** Mass m of the chain, kg: 0 in the guide. The stance must be set. */
function massOf(arm: ArmModel, m: number, work: CapacityWork): number {
  if (m === arm.spans) return arm.description.tool.mass;
  return m + 1 > work.rod.firstFree ? (arm.mass[m + 1] as number) : 0;
}

function solvePushed(arm: ArmModel, hold: Hold, lock: LockState, state: SwingState, push: number, work: CapacityWork): boolean {
  carryOver(lock.rod, work.trial);
  const forces: PointForce[] = [...hold.forces];
  const o = state.guess * state.ahead.length;
  for (let m = 0; push !== 0 && m <= arm.spans; m++) {
    const scale = push * massOf(arm, m, work);
    if (scale === 0) continue;
    const force = [0, 1, 2].map((k) => scale * (state.shape[o + 3 * m + k] as number)) as unknown as Vector;
    forces.push({ vertebra: Math.min(m + 1, arm.spans), force, at: m === arm.spans ? arm.description.tool.centre : [0, 0, 0] });
  }
  const load: Load = { ...loadOf(hold), forces };
  state.status = solveLocked(arm, load, hold.stance, lock.free, work.trial, work.rod, { ramp: false, tolerance: 1e-12 }).status;
  if (state.status === "stable" || state.status === "slack") return true;
  state.stage = "done";
  return false;
}

function findPlaces(arm: ArmModel, work: CapacityWork, out: Float64Array, o: number): void {
  const [x, y, z] = arm.description.tool.centre;
  for (let m = 0; m < arm.spans; m++) pointOf(work.rod.frame, m + 1, 0, 0, 0, out, o + 3 * m);
  pointOf(work.rod.frame, arm.spans, x, y, z, out, o + 3 * arm.spans);
}
