/**
 * Wrung rods whose ends are not both built in, which no arm's base can carry: a hinge at either end, and the two ends joined to a ring. What the
 * rod gives is the arm clamped at its base with the wrench of its other end on it: its balance, its tip's compliance there with tensions kept
 * (the tangent solved for six unit wrenches) and the count of the tangent's negative directions. Each end condition is put on these numbers here.
 * On chains of three lengths of span, with the error terms h^2 and h^4 taken off.
 */
import { describe, expect, test } from "vitest";
import { type ArmModel, createArm } from "../../src/arm/index.ts";
import { countNegative, factorLu, rollFrame, solveLu } from "../../src/math/index.ts";
import {
  createRodState,
  createRodWork,
  type Load,
  type RodState,
  type RodWork,
  solveTensions,
  tipCompliance,
} from "../../src/rod/index.ts";
import { noLoad, plainRod, stanceAlongX } from "../rod/arms.ts";
import { reach } from "./reach.ts";

/** EI = 1, L = 1; GJ = EI / (1 + poissonRatio) */
function plain(spans: number, poissonRatio = 0.3): ArmModel {
  return createArm(plainRod({ length: 1, spans, ei: 1, poissonRatio }), { lock: ["axial"] });
}

function bisect(above: (x: number) => boolean, low: number, high: number): number {
  while (high - low > 1e-10 * high) {
    const middle = (low + high) / 2;
    if (above(middle)) high = middle;
    else low = middle;
  }
  return (low + high) / 2;
}

/** On chains whose spans shrink by `ratio` from one to the next, with the error terms h^2 and h^4 taken off. */
function extrapolate(at: (spans: number) => number, few: number, ratio: number): number {
  const [a, b, c] = [at(few), at(few * ratio), at(few * ratio * ratio)];
  // second order
  expect((a - b) / (b - c) / ratio ** 2).toBeGreaterThan(0.95);
  expect((a - b) / (b - c) / ratio ** 2).toBeLessThan(1.05);
  const better = (fine: number, coarse: number, order: number): number => (ratio ** order * fine - coarse) / (ratio ** order - 1);
  return better(better(c, b, 2), better(b, a, 2), 4);
}

describe("hinged at both ends, torque about the line through them", () => {
  /*
   * Seen from the tilted base, its axis turned aside by s: torque M and thrust P act about and along e - s, that is, -M s and P s more, and the
   * tip must lie at -L s. The base bears no moment across the line of the hinges, so no force stands across it. With c the aside motion a moment
   * aside and f that a force aside (complex numbers, a round rod being the same all round) it leaves when L - M c + P f = 0: a complex number, as
   * such a rod has its directions two by two, which turns with the torque and is 0 where both its parts are.
   */
  const left = (arm: ArmModel, torque: number, thrust: number): [number, number] => {
    const state = createRodState(arm);
    const work = createRodWork(arm);
    for (let i = 0; i < arm.spans; i++) state.strain[4 * i + 2] = 1.3 * torque;
    const load: Load = { ...noLoad, moment: [torque, 0, 0], forces: [{ vertebra: arm.spans, force: [-thrust, 0, 0], at: [0, 0, 0] }] };
    const report = solveTensions(arm, load, stanceAlongX(), state, work, { escape: false });
    expect(report.status).not.toBe("not-converged");
    expect(Math.abs((work.frame[12 * arm.spans + 9] as number) - 1)).toBeLessThan(1e-9);
    const give = new Float64Array(36);
    tipCompliance(arm, state, "tensions", work, give);
    const [c, f] = [
      [give[18] as number, give[24] as number],
      [give[21] as number, give[27] as number],
    ] as const;
    return [1 - torque * c[0] + thrust * f[0], -torque * c[1] + thrust * f[1]] as [number, number];
  };

  test.each([0, 0.25, 0.5, 0.75])("thrust %d of Euler's: (M/2)^2 + P = pi^2", (share) => {
    const thrust = share * Math.PI ** 2;
    const truth = 2 * Math.sqrt(Math.PI ** 2 - thrust);
    const at = (spans: number): number => {
      const arm = plain(spans);
      const real = (torque: number): number => left(arm, torque, thrust)[0];
      const [low, high] = [0.9 * truth, 1.1 * truth];
      expect(real(low) * real(high)).toBeLessThan(0);
      const found = bisect((torque) => real(torque) * real(high) > 0, low, high);
      // both parts are 0 there, to what bisection leaves
      expect(Math.abs(left(arm, found, thrust)[1])).toBeLessThan(1e-6);
      return found;
    };
    reach("twistHinged", extrapolate(at, 20, 2) / truth - 1);
  });
});

describe("closed to a ring", () => {
  /*
   * The base's vertebra and the tip's are one, the tip turned by the twist. With H the tangent of the clamped arm's energy, C = G H^-1 G' its tip's
   * compliance and the tip held still, the directions that lower the energy are neg(H) + pos(C) - 6 (Haynsworth's inertia formula). One
   * direction always costs nothing: the ring turned about its tangent at the base; so C has one eigenvalue that is 0 but for rounding. The others are counted.
   */
  const nothing = 1e-9;

  const lookAt = (arm: ArmModel, turn: number, torsion: number): { unstable: number; nearest: number } => {
    const { state, work } = closeRing(arm, turn, torsion);
    const give = heldGive(arm, state, work);
    const below = (value: number): number => {
      const moved = give.slice();
      for (let k = 0; k < 6; k++) moved[7 * k] = (moved[7 * k] as number) - value;
      return countNegative(moved, 6, 6);
    };
    const zeros = below(nothing) - below(-nothing);
    expect(zeros).toBe(1);
    // the size of the next eigenvalue to either side, of those that will change their sign, or have
    const unstable = work.negative - below(nothing);
    const next = unstable === 0 ? (size: number) => below(-size) < below(-nothing) : (size: number) => below(size) > below(nothing);
    return { unstable, nearest: (unstable === 0 ? -1 : 1) * bisect(next, nothing, 1) };
  };

  // an odd number of spans: half of an even ring is just about to leave its balance by itself, and a tangent swept span by span loses its digits there
  test.each([0, 0.3, 0.5])("GJ = EI/(1 + %d): 2 pi sqrt(3) EI/GJ", (poissonRatio) => {
    const torsion = 1 / (1 + poissonRatio);
    const truth = (2 * Math.PI * Math.sqrt(3)) / torsion;
    const at = (spans: number): number => {
      const arm = plain(spans, poissonRatio);
      const seen = [0.02, 0.5, 0.9, 0.96, 0.975, 0.99, 1.01, 1.025, 1.04].map((share) => ({
        share,
        ...lookAt(arm, share * truth, torsion),
      }));
      // steady up to there, and then in two directions at once: the oval has its two ways to lie
      expect(seen.map((one) => one.unstable)).toEqual([0, 0, 0, 0, 0, 0, 2, 2, 2]);
      // its eigenvalue is 0 between: the twist as a polynomial of it, through the six nearest
      const near = seen.slice(3);
      return (
        truth *
        near.reduce(
          (sum, one) =>
            sum + near.reduce((part, other) => (other === one ? part : (part * other.nearest) / (other.nearest - one.nearest)), one.share),
          0,
        )
      );
    };
    reach("twistRing", extrapolate(at, 45, 3) / truth - 1);
  });
});

/** The ring's balance: the wrench on the tip that brings it to its base, turned about the axis by `turn`. */
function closeRing(arm: ArmModel, turn: number, torsion: number): { state: RodState; work: RodWork } {
  const state = createRodState(arm);
  const work = createRodWork(arm);
  const bend = 2 * Math.PI;
  for (let i = 0; i < arm.spans; i++) {
    const along = (turn * (i + 0.5)) / arm.spans;
    state.strain.set([bend * Math.cos(along), -bend * Math.sin(along), turn, 0], 4 * i);
  }
  // of the rod without spans: its moment, and a force across the ring's plane; the chain's is found from there
  const across = [Math.cos(turn), -Math.sin(turn), 0];
  const wrench = [...across.map((a, k) => bend * a + (k === 2 ? torsion * turn : 0)), ...across.map((a) => torsion * turn * bend * a)];
  const give = new Float64Array(36);
  let off = Number.POSITIVE_INFINITY;
  for (let round = 0; off > 1e-11; round++) {
    expect(round).toBeLessThan(30);
    const following = wrench as unknown as NonNullable<Load["following"]>;
    const report = solveTensions(arm, { ...noLoad, following }, stanceAlongX(), state, work, { escape: false, ramp: false });
    expect(report.status).not.toBe("not-converged");
    const miss = missOf(arm, turn, work);
    off = Math.max(...miss.map(Math.abs));
    tipCompliance(arm, state, "tensions", work, give);
    shortestStep(give, miss).forEach((step, k) => {
      if (off > 1e-11) wrench[k] = (wrench[k] as number) - step;
    });
  }
  return { state, work };
}

/** [6, 6] C of the energy alone: the wrench's part without a potential, which adds a skew A to the inverse of the whole F, taken off: F (1 - A F)^-1. */
function heldGive(arm: ArmModel, state: RodState, work: RodWork): Float64Array {
  const whole = new Float64Array(36);
  tipCompliance(arm, state, "tensions", work, whole);
  // transposed, so that each row of F is a right-hand side
  const left = Float64Array.from({ length: 36 }, (_, q) => {
    const [c, r] = [Math.floor(q / 6), q % 6];
    return [0, 1, 2, 3, 4, 5].reduce((sum, j) => sum - (work.tipSkew[6 * r + j] as number) * (whole[6 * j + c] as number), r === c ? 1 : 0);
  });
  const pivots = new Int32Array(6);
  expect(factorLu(left, 6, 6, pivots)).toBe(true);
  for (let r = 0; r < 6; r++) solveLu(left, 6, 6, pivots, whole, 6 * r);
  // what is left is the inverse of something symmetric
  for (let r = 0; r < 6; r++)
    for (let c = 0; c < r; c++) expect(Math.abs((whole[6 * r + c] as number) - (whole[6 * c + r] as number))).toBeLessThan(1e-9);
  return whole;
}

/** [6] small motion, tip frame, from where the base's frame turned by `turn` about its axis is to where the tip is. */
function missOf(arm: ArmModel, turn: number, work: RodWork): number[] {
  const base = work.frame.subarray(0, 12);
  const tip = work.frame.subarray(12 * arm.spans, 12 * arm.spans + 12);
  const turned = new Float64Array(12);
  rollFrame(base, turn, 0, turned);
  const dot = (a: Float64Array, i: number, b: Float64Array, j: number): number =>
    [0, 1, 2].reduce((sum, r) => sum + (a[3 * r + i] as number) * (b[3 * r + j] as number), 0);
  const about = (i: number, j: number): number => (dot(turned, j, tip, i) - dot(turned, i, tip, j)) / 2;
  const aside = [0, 1, 2].map((j) =>
    [0, 1, 2].reduce((sum, r) => sum + (tip[3 * r + j] as number) * ((tip[9 + r] as number) - (base[9 + r] as number)), 0),
  );
  return [about(1, 2), about(2, 0), about(0, 1), ...aside];
}

/** Least x with a x = b, where one direction of a [6, 6] gives nothing. */
function shortestStep(a: Float64Array, b: readonly number[]): Float64Array {
  const all = [0, 1, 2, 3, 4, 5];
  const normal = Float64Array.from({ length: 36 }, (_, q) => {
    const [r, c] = [Math.floor(q / 6), q % 6];
    return all.reduce((sum, j) => sum + (a[6 * j + r] as number) * (a[6 * j + c] as number), r === c ? 1e-11 : 0);
  });
  const pivots = new Int32Array(6);
  expect(factorLu(normal, 6, 6, pivots)).toBe(true);
  const x = Float64Array.from(all, (r) => all.reduce((sum, j) => sum + (a[6 * j + r] as number) * (b[j] as number), 0));
  solveLu(normal, 6, 6, pivots, x);
  return x;
}
