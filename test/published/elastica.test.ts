/**
 * A single rod against closed forms of the elastica. Every arm here locks the axial strain, as the closed forms do.
 *
 * A chain of n spans is second order in 1/n; where a value is wanted to 1e-6 it is extrapolated from three chains.
 */
import ellipe from "@stdlib/math-base-special-ellipe";
import ellipk from "@stdlib/math-base-special-ellipk";
import { describe, expect, test } from "vitest";
import { type Load, solveTensions } from "../../src/rod/index.ts";
import { inextensible, noLoad, type PlainRod, stanceAlongX, tipForce, tipOf } from "../rod/arms.ts";
import { reach } from "./reach.ts";

/** Value in the limit of endless spans, from chains of n, 2n and 4n (error terms h^2 and h^4 taken off). */
function extrapolate(at: (spans: number) => number[], n: number): number[] {
  const [a, b, c] = [at(n), at(2 * n), at(4 * n)];
  return a.map((_, k) => {
    const one = (4 * (b[k] as number) - (a[k] as number)) / 3;
    const two = (4 * (c[k] as number) - (b[k] as number)) / 3;
    return (16 * two - one) / 15;
  });
}

function solve(rod: PlainRod, load: (spans: number) => Load, rise = 0): (spans: number) => number[] {
  return (spans) => {
    const b = inextensible({ ...rod, spans });
    const report = solveTensions(b.arm, load(spans), stanceAlongX(0, rise), b.state, b.work);
    expect(report.status).toBe("stable");
    const { at, tangent } = tipOf(b);
    return [at[0], at[2], Math.atan2(tangent[2], tangent[0])];
  };
}

const unit: PlainRod = { length: 1, spans: 0, ei: 1, massPerLength: 0 };
const down =
  (force: number) =>
  (spans: number): Load => ({ gravity: [0, 0, 0], forces: [{ vertebra: spans, force: [0, 0, -force], at: [0, 0, 0] }] });

describe("cantilever with a dead transverse tip load (Bisshopp & Drucker 1945; elliptic integrals recomputed)", () => {
  // P L^2 / EI, tip slope in degrees, drop / L, x / L
  const rows = [
    [0.1, 2.862168023, 0.03329531927, 0.9993346],
    [0.25, 7.121432358, 0.08274591535, 0.9958821816],
    [0.5, 14.01074593, 0.1621435757, 0.9840810375],
    [0.75, 20.48474043, 0.2356152314, 0.966033685],
    [1, 26.43351959, 0.3017207738, 0.9435667637],
    [1.5, 36.64293287, 0.4109782112, 0.8920584993],
    [2, 44.79096598, 0.4934574804, 0.8393582792],
    [3, 56.49460957, 0.6032534411, 0.7455798154],
    [4, 64.24228244, 0.6699641813, 0.6710587578],
    [5, 69.63546369, 0.7137915236, 0.6123716393],
    [6, 73.55043665, 0.7445711489, 0.5654111713],
    [7, 76.48756565, 0.7673690997, 0.5270725716],
    [8, 78.74912456, 0.784982375, 0.4951722679],
    [9, 80.52723187, 0.7990555275, 0.4681794373],
    [10, 81.94932487, 0.8106090249, 0.4450044022],
    [15, 86.04910234, 0.8477156743, 0.3647142196],
    [20, 87.83070326, 0.8686958983, 0.3161144324],
  ] as const;
  test.each(rows)("P L^2/EI = %d", (a, slope, drop, x) => {
    const tip = extrapolate(solve(unit, down(a)), 50);
    reach("tipLoad", (tip[0] as number) - x);
    reach("tipLoad", (tip[1] as number) + drop);
    reach("tipLoad", (tip[2] as number) + (slope * Math.PI) / 180);
    // 100 spans, as used in practice
    const plain = solve(unit, down(a))(100);
    reach("tipLoadPlain", (plain[1] as number) + drop);
    // the linear formula is no answer
    if (a === 5) expect(a / 3 / drop).toBeGreaterThan(2);
  });

  test("second order: halving the span quarters the error", () => {
    const error = (spans: number): number => Math.abs((solve(unit, down(5))(spans)[1] as number) + 0.7137915236);
    expect(error(40) / error(80)).toBeGreaterThan(3.8);
    expect(error(40) / error(80)).toBeLessThan(4.2);
  });

  test("small loads give P L^3 / 3 EI and P L^2 / 2 EI (Roark, from memory)", () => {
    const tip = extrapolate(solve(unit, down(1e-3)), 20);
    reach("beamTipLoad", (tip[1] as number) * -1e3 * 3 - 1);
    reach("beamTipLoad", (tip[2] as number) * -1e3 * 2 - 1);
  });
});

describe("end moment bends to an exact circle (Simo & Vu-Quoc 1986 patch test, from memory; geometry)", () => {
  test.each([
    [30, 0.9549296586, 0.2558726308],
    [60, 0.8269933431, 0.4774648293],
    [90, 0.6366197724, 0.6366197724],
    [180, 0, 0.6366197724],
    [270, -0.2122065908, 0.2122065908],
    [360, 0, 0],
    [720, 0, 0],
  ])("%d degrees", (angle, x, y) => {
    const spans = 40;
    const b = inextensible({ ...unit, spans });
    // the moment keeps to the plane, so turning with the tip or not is the same: both are tried
    const moment = (-angle * Math.PI) / 180;
    for (const load of [
      { ...noLoad, following: [0, moment, 0, 0, 0, 0] as const },
      { ...noLoad, moment: [0, -moment, 0] as const },
    ]) {
      b.state.strain.fill(0);
      const report = solveTensions(b.arm, load, stanceAlongX(), b.state, b.work);
      expect(report.status).toBe("stable");
      const { at } = tipOf(b);
      reach("endMoment", at[0] - x);
      reach("endMoment", Math.abs(at[2]) - y);
    }
  });
});

describe("clamped-free strut beyond buckling (Timoshenko & Gere, Theory of Elastic Stability, sec. 2.7; recomputed here by @stdlib)", () => {
  test.each([20, 40, 60, 80, 90, 100, 113.7442557, 120, 130.709910708, 140, 160])("tip turned by %d degrees", (alpha) => {
    const p = Math.sin((alpha * Math.PI) / 360);
    const K = ellipk(p * p);
    const E = ellipe(p * p);
    const thrust = K * K; // P L^2 / EI; P / Pcr = (2 K / pi)^2, Pcr = pi^2 EI / 4 L^2
    const push = (spans: number): Load => ({ gravity: [0, 0, 0], forces: [{ vertebra: spans, force: [-thrust, 0, 0], at: [0, 0, 0] }] });
    const tip = (spans: number): number[] => {
      const b = inextensible({ ...unit, spans });
      const report = solveTensions(b.arm, push(spans), stanceAlongX(), b.state, b.work);
      expect(report.status).toBe("stable");
      expect(report.escaped).toBe(true);
      const { at } = tipOf(b);
      return [at[0], Math.sqrt(at[1] ** 2 + at[2] ** 2)];
    };
    const [x, y] = extrapolate(tip, 50) as [number, number];
    reach("postBuckled", x - ((2 * E) / K - 1));
    reach("postBuckled", y - (2 * p) / K);
    // furthest aside; the tip over its base
    if (alpha === 113.7442557) reach("postBuckled", y - 0.806280379);
    if (alpha === 130.709910708) reach("postBuckled", x);
  });

  test("the straight strut is named buckled above pi^2/4 and stable below", () => {
    for (const [share, status] of [
      [0.99, "stable"],
      [1.01, "buckled"],
    ] as const) {
      const b = inextensible({ ...unit, spans: 200 });
      const thrust = (share * Math.PI ** 2) / 4;
      const load: Load = { gravity: [0, 0, 0], forces: [{ vertebra: 200, force: [-thrust, 0, 0], at: [0, 0, 0] }] };
      expect(solveTensions(b.arm, load, stanceAlongX(), b.state, b.work, { escape: false }).status).toBe(status);
    }
  });
});

describe("cantilever under its own weight, alone and with a tip load (Rohde 1953 poses it; boundary-value solution recomputed)", () => {
  // P L^2/EI, w L^3/EI, tip slope deg, x / L, drop / L
  test.each([
    [0, 0.1, 0.95483905, 0.999910732, 0.012498438],
    [0, 0.5, 4.76337553, 0.997779, 0.062305768],
    [0, 1, 9.46042475, 0.991246395, 0.123471402],
    [0, 2, 18.42596732, 0.966892947, 0.238506583],
    [0, 3, 26.55895136, 0.931511207, 0.339648392],
    [0, 5, 39.93543205, 0.84665718, 0.495905045],
    [0, 8, 53.86499618, 0.724424734, 0.640630717],
    [0, 10, 60.31200795, 0.656353761, 0.700199716],
    [0, 20, 76.74778499, 0.445232052, 0.829881443],
    [0, 50, 87.45932314, 0.245014756, 0.907917123],
    [0, 100, 89.61674817, 0.159223383, 0.937523935],
    [1, 1, 33.58627517, 0.904837137, 0.390381661],
    [2, 1, 49.43194752, 0.799458587, 0.547303132],
    [1, 2, 39.79798523, 0.863085482, 0.464476431],
    [0.5, 5, 47.64165761, 0.791563596, 0.566040917],
    [3, 3, 64.6735748, 0.651013735, 0.691645999],
  ])("tip load %d, weight %d", (a, k, slope, x, drop) => {
    const load = (spans: number): Load => ({ gravity: [0, 0, -9.81], forces: [{ vertebra: spans, force: [0, 0, -a], at: [0, 0, 0] }] });
    const tip = extrapolate(solve({ ...unit, massPerLength: k / 9.81 }, load), k > 20 ? 100 : 50);
    reach("ownWeight", (tip[0] as number) - x);
    reach("ownWeight", (tip[1] as number) + drop);
    reach("ownWeight", (tip[2] as number) + (slope * Math.PI) / 180);
  });
});

describe("inclined base (boundary-value solutions recomputed, starred ones by two methods)", () => {
  // base angle above horizontal deg, tip load, weight, tip slope deg, x / L, y up / L
  test.each([
    [-45, 1, 0, -60.24296589, 0.5675052548, -0.8196221308],
    [30, 1, 0, 1.6677956, 0.970459258, 0.191205317],
    [45, 1, 0, 18.7865942, 0.877567761, 0.459563233],
    [60, 1, 0, 38.9679508, 0.688679633, 0.71665151],
    [30, 3, 0, -41.80614781, 0.8818966136, -0.3046985492],
    [45, 3, 0, -32.77311009, 0.9122939728, -0.1242921235],
    [60, 3, 0, -21.7146884, 0.9077482552, 0.0809398831],
    [60, 0, 3, 39.32644037, 0.7076316667, 0.6989518176],
    [45, 0, 3, 19.0183205, 0.894121805, 0.42876024],
    [30, 0, 3, 1.7442896, 0.978447473, 0.152054357],
  ])("base at %d degrees, tip load %d, weight %d", (angle, a, k, slope, x, up) => {
    const load = (spans: number): Load => ({ gravity: [0, 0, -9.81], forces: [{ vertebra: spans, force: [0, 0, -a], at: [0, 0, 0] }] });
    const tip = extrapolate(solve({ ...unit, massPerLength: k / 9.81 }, load, (angle * Math.PI) / 180), 50);
    reach("inclined", (tip[0] as number) - x);
    reach("inclined", (tip[1] as number) - up);
    reach("inclined", (tip[2] as number) - (slope * Math.PI) / 180);
  });
});

describe("45-degree bend with an out-of-plane tip force (Bathe & Bolourchi 1979; shooting solution without shear and stretch, recomputed)", () => {
  // R = 100, EI = GJ = 8.3333e5 (J = 1/6: nu = 0 for a round rod). Start tangent x, radial y, load z.
  test.each([
    [150, 66.366269, 26.695656, 25.102898],
    [300, 58.779685, 22.245035, 40.188284],
    [450, 52.239298, 18.508464, 48.497983],
    [600, 47.151294, 15.685078, 53.468598],
  ])("F = %d", (force, x, y, z) => {
    const length = (100 * Math.PI) / 4;
    const tip = (spans: number): number[] => {
      // arm x is up (z), arm y is -y: towards +y it curves about +x of the arm
      const b = inextensible({ length, spans, ei: 1e7 / 12, poissonRatio: 0, rest: [1 / 100, 0, 0], cableRadius: 1 });
      const report = solveTensions(b.arm, tipForce(b.arm, [0, 0, force]), stanceAlongX(), b.state, b.work);
      expect(report.status).toBe("stable");
      return tipOf(b).at;
    };
    const at = extrapolate(tip, 32);
    [x, y, z].forEach((value, k) => {
      reach("bend45", (at[k] as number) - value);
    });
    // one percent with eight spans' worth of practice: 64 spans
    const plain = tip(64);
    [x, y, z].forEach((value, k) => {
      reach("bend45Plain", ((plain[k] as number) - value) / length);
    });
  });
});

describe("helix of constant strain (closed form)", () => {
  test("radius 50 mm, pitch 100 mm: one turn rises by the pitch", () => {
    const a = 0.05;
    const rise = 0.1 / (2 * Math.PI);
    const curvature = a / (a * a + rise * rise);
    const torsion = rise / (a * a + rise * rise);
    expect(curvature).toBeCloseTo(18.16000663, 7);
    expect(torsion).toBeCloseTo(5.780509644, 8);
    const length = 0.3296908309;
    const b = inextensible({ length, spans: 37, ei: 1, rest: [curvature, 0, torsion] });
    solveTensions(b.arm, noLoad, stanceAlongX(), b.state, b.work);
    // after a whole turn the tip's frame is the base's again, moved along the helix axis by the pitch
    const { at, tangent } = tipOf(b);
    expect(tangent[0]).toBeCloseTo(1, 8);
    // axis direction in the base frame: (torsion e3 + curvature e1) / norm; world: e3 = x, e1 = z
    const norm = Math.hypot(curvature, torsion);
    reach("helix", at[0] - (0.1 * torsion) / norm);
    reach("helix", at[2] - (0.1 * curvature) / norm);
    reach("helix", at[1]);
  });
});
