import { describe, expect, test } from "vitest";
import { type ArmDescription, type ArmModel, createArm } from "../../src/arm/index.ts";
import { InputError } from "../../src/base/index.ts";
import { findDrag } from "../../src/rod/immerse.ts";
import {
  checkBalance,
  createRodState,
  createRodWork,
  type Fluid,
  type Load,
  readFreeLengths,
  setStance,
  solveHeld,
  solveLocked,
  solveTensions,
} from "../../src/rod/index.ts";
import { placeArm } from "../../src/rod/place.ts";
import { evaluate } from "../../src/rod/tangent.ts";
import { reach } from "../published/reach.ts";
import { bench, noLoad, type PlainRod, plainRod, stanceAlongX, tipOf } from "./arms.ts";
import { twinArm } from "./twin.ts";

const g = 9.80665;
const down: readonly [number, number, number] = [0, 0, -g];

/** A round rod 12 mm thick, nothing else about it. */
function thickRod(rod: PlainRod): ArmDescription {
  const plain = plainRod(rod);
  const diameter = 12e-3;
  return {
    ...plain,
    sections: plain.sections.map((s) => ({
      ...s,
      rods: s.rods.map((r) => ({
        ...r,
        diameter,
        material: {
          ...r.material,
          youngModulus: (rod.ei * 64) / (Math.PI * diameter ** 4),
          density: ((rod.massPerLength ?? 0) * 4) / (Math.PI * diameter ** 2),
        },
      })),
    })),
  };
}

/** Sum of the loads on all free vertebrae of a straight arm along x, N, world. */
function totalOf(description: ArmDescription, load: Load): number[] {
  const { arm, state, work } = bench(rodAlone(description));
  setStance(arm, stanceAlongX(), work);
  placeArm(arm, state.strain, work);
  if (load.fluid !== undefined) findDrag(arm, load.fluid, load.gravity, work.drag, work);
  evaluate(arm, load, state.strain, state.tension, false, work);
  const sum = [0, 0, 0];
  for (let i = 1; i <= arm.spans; i++)
    for (let r = 0; r < 3; r++)
      for (let k = 0; k < 3; k++)
        sum[r] = (sum[r] as number) - (work.frame[12 * i + 3 * r + k] as number) * (work.loadGradient[6 * i + 3 + k] as number);
  return sum;
}

/** Cables are led outside a full rod, so its vertebrae are wider than it is: the flow meets the rod alone. */
const rodAlone = (description: ArmDescription, lock: "axial"[] = []): ArmModel => {
  const arm = createArm(description, { lock });
  return { ...arm, width: arm.width.map(() => 12e-3) };
};

/** Loads hang half a span short: what would act on the guide's own vertebra is not felt. */
const felt = (length: number, spans: number): number => length * (1 - 1 / (2 * spans));

describe("closed forms: a rod of 12 mm in water", () => {
  // pi d^2/4 rho g, with standard gravity: 1.1091060 N/m in 1000 kg/m3, 1.1368336 N/m in 1025 kg/m3
  test.each([
    [1000, 1.109106],
    [1025, 1.1368336],
  ])("lift in %d kg/m3: %d N/m", (density, expected) => {
    const total = totalOf(thickRod({ length: 0.4, spans: 20, ei: 1 }), { gravity: down, forces: [], fluid: { density } });
    reach("lift", (total[2] as number) / felt(0.4, 20) / expected - 1);
    expect(Math.abs(total[0] as number) + Math.abs(total[1] as number)).toBeLessThan(1e-12);
  });

  // 1/2 rho Cd d U^2 with Cd = 1.2
  test.each([
    [0.5, 1.8],
    [1, 7.2],
    [2, 28.8],
  ])("drag of a current of %d m/s: %d N/m, across the rod and with the flow", (speed, expected) => {
    const fluid = (velocity: readonly [number, number, number]): Fluid => ({ density: 1000, current: { velocity, dragCoefficient: 1.2 } });
    const total = (velocity: readonly [number, number, number]): number[] =>
      totalOf(thickRod({ length: 0.4, spans: 20, ei: 1 }), { gravity: [0, 0, 0], forces: [], fluid: fluid(velocity) });
    reach("drag", (total([0, -speed, 0])[1] as number) / felt(0.4, 20) / -expected - 1);
    // along the rod none; at 30 degrees to it only what flows across
    expect(Math.max(...total([speed, 0, 0]).map(Math.abs))).toBe(0);
    const slant = total([speed * Math.cos(Math.PI / 6), 0, speed * Math.sin(Math.PI / 6)]);
    reach("drag", (slant[2] as number) / felt(0.4, 20) / (expected / 4) - 1);
  });

  test("net weight is (arm - fluid) density x volume x g: droop w L^4/8 EI, up when lighter", () => {
    const [length, spans, ei] = [0.4, 80, 5];
    const area = (Math.PI * 0.012 ** 2) / 4;
    for (const density of [500, 1500]) {
      const b = bench(rodAlone(thickRod({ length, spans, ei, massPerLength: density * area }), ["axial"]));
      const load: Load = { gravity: down, forces: [], fluid: { density: 1000 } };
      expect(solveTensions(b.arm, load, stanceAlongX(), b.state, b.work).status).toBe("stable");
      const w = (density - 1000) * area * g;
      // loads at the vertebrae instead of even: 2nd order in the span, 1/spans^2; large turns: 1e-6 of it here
      reach("netWeight", (tipOf(b).at[2] as number) / ((-w * length ** 4) / (8 * ei)) - 1);
    }
  });

  test("an arm as dense as the fluid stays straight", () => {
    const area = (Math.PI * 0.012 ** 2) / 4;
    const b = bench(rodAlone(thickRod({ length: 0.8, spans: 40, ei: 0.01, massPerLength: 1000 * area })));
    const load: Load = { gravity: down, forces: [] };
    expect(solveTensions(b.arm, load, stanceAlongX(), b.state, b.work).status).toBe("stable");
    expect(tipOf(b).at[2]).toBeLessThan(-0.5);
    const still = bench(b.arm);
    solveTensions(b.arm, { ...load, fluid: { density: 1000 } }, stanceAlongX(), still.state, still.work);
    // rounding of 40 sums of 0.02 N over EI = 0.01 N m2
    expect(Math.max(...still.state.strain.map(Math.abs))).toBeLessThan(1e-12);
  });

  test("upright, half in the water: shortens by (w L^2/2 - b L^2/8)/EA", () => {
    const [length, spans] = [1, 200];
    const massPerLength = 0.3;
    const b = bench(rodAlone(thickRod({ length, spans, ei: 2, massPerLength })));
    const ea = b.arm.stiffness[15] as number;
    const upright = { base: Float64Array.of(1, 0, 0, 0, 1, 0, 0, 0, 1, 0, 0, 0), exit: 0 };
    const load: Load = { gravity: down, forces: [], fluid: { density: 1000, surface: { at: [3, 4, length / 2], up: [0, 0, 1] } } };
    expect(solveTensions(b.arm, load, upright, b.state, b.work).status).toBe("stable");
    const expected = -((massPerLength * g) / 2 - 1.109106 / 8) * (length ** 2 / ea);
    const shortened = b.state.strain.reduce((sum, e, k) => sum + (k % 4 === 3 ? (e * length) / spans : 0), 0);
    // balls as wide as the rod (12 mm) about the surface change the first moment by r^2/(5 L^2/8) of b's part: 6e-5
    expect(shortened / expected).toBeCloseTo(1, 4);
  });
});

describe("a rod bent over by a current", () => {
  /**
   * Independent: EI theta'' = the moment of the force beyond, integrated from the tip by the classical Runge-Kutta method;
   * the flow across the rod is U cos(theta), theta from where it stands upright. Shot so that theta = 0 at the root.
   */
  function shoot(drag: number, ei: number, length: number): { x: number; z: number } {
    // per unit length: normal force drag cos^2; state: theta, kappa, shear along x, force along z, x, z
    const rate = (s: readonly number[]): number[] => {
      const [theta, kappa, fx, fz] = s as [number, number, number, number];
      const normal = drag * Math.cos(theta) * Math.abs(Math.cos(theta));
      // from the tip down: force gathered on the part above; moment M = EI kappa grows by the couple of that force
      return [
        -kappa,
        (fx * Math.cos(theta) - fz * Math.sin(theta)) / ei,
        normal * Math.cos(theta),
        -normal * Math.sin(theta),
        Math.sin(theta),
        Math.cos(theta),
      ];
    };
    const run = (tip: number): number[] => {
      const steps = 2000;
      const h = length / steps;
      let s = [tip, 0, 0, 0, 0, 0];
      const add = (a: readonly number[], b: readonly number[], k: number): number[] => a.map((v, i) => v + k * (b[i] as number));
      for (let n = 0; n < steps; n++) {
        const k1 = rate(s);
        const k2 = rate(add(s, k1, h / 2));
        const k3 = rate(add(s, k2, h / 2));
        const k4 = rate(add(s, k3, h));
        s = s.map((v, i) => v + (h / 6) * ((k1[i] as number) + 2 * (k2[i] as number) + 2 * (k3[i] as number) + (k4[i] as number)));
      }
      return s;
    };
    let [low, high] = [0, Math.PI / 2];
    for (let k = 0; k < 60; k++) {
      const middle = (low + high) / 2;
      if ((run(middle)[0] as number) > 0) high = middle;
      else low = middle;
    }
    const end = run(low);
    return { x: end[4] as number, z: end[5] as number };
  }

  test.each([[0.5], [2], [8], [40]])("drag L^3/EI = %d: tip against a shooting solution", (cauchy) => {
    const [length, spans, ei] = [1, 100, 1];
    const drag = (cauchy * ei) / length ** 3;
    const speed = Math.sqrt(drag / (0.5 * 1000 * 1.2 * 12e-3));
    const b = bench(rodAlone(thickRod({ length, spans, ei }), ["axial"]));
    const upright = { base: Float64Array.of(1, 0, 0, 0, 1, 0, 0, 0, 1, 0, 0, 0), exit: 0 };
    const load: Load = { ...noLoad, fluid: { density: 1000, current: { velocity: [speed, 0, 0], dragCoefficient: 1.2 } } };
    const report = solveTensions(b.arm, load, upright, b.state, b.work);
    expect(report.status).toBe("stable");
    const truth = shoot(drag, ei, length);
    const [x, y, z] = tipOf(b).at;
    // second order in the span: 1e-4 of the length at 100 spans, times the load
    reach("laidOver", (x - truth.x) / length);
    reach("laidOver", (z - truth.z) / length);
    expect(y).toBeCloseTo(0, 9);
    expect(checkBalance(b.arm, load, upright, b.state)).toBeLessThan(1e-7);
  });
});

describe("a twin-backbone arm", () => {
  const arm = createArm(twinArm({ sections: 3, spans: 6 }));
  const stance = stanceAlongX(13e-3);
  const bend = Float64Array.of(0.3, -0.2, 0.1, 0.3, -0.2, 0.1);
  const fluid: Fluid = {
    density: 1025,
    surface: { at: [0, 0, 5e-3], up: [0, 0, 1] },
    current: { velocity: [0.3, 0.6, -0.1], dragCoefficient: 1.2 },
  };
  const load: Load = { gravity: down, forces: [], fluid };

  test("held, locked and given tensions meet in one shape, balanced by a second computation", () => {
    const work = createRodWork(arm);
    const state = createRodState(arm);
    expect(solveHeld(arm, load, stance, bend, state, work).status).toBe("stable");
    expect(checkBalance(arm, load, stance, state)).toBeLessThan(1e-8);
    // the check feels what it checks: without the fluid it is far off
    expect(checkBalance(arm, { ...load, fluid: { density: 1025 } }, stance, state)).toBeGreaterThan(1e-3);
    expect(checkBalance(arm, { gravity: down, forces: [] }, stance, state)).toBeGreaterThan(1e-3);
    const free = new Float64Array(arm.cables);
    readFreeLengths(arm, state, work, free);
    const locked = createRodState(arm);
    locked.strain.set(state.strain.map((v) => 0.9 * v));
    expect(solveLocked(arm, load, stance, free, locked, work).status).toBe("stable");
    const given = createRodState(arm);
    given.tension.set(state.tension);
    given.strain.set(state.strain.map((v) => 0.9 * v));
    expect(solveTensions(arm, load, stance, given, work).status).toBe("stable");
    for (const other of [locked, given])
      for (let k = 0; k < state.strain.length; k++) expect(other.strain[k]).toBeCloseTo(state.strain[k] as number, 5);
  });

  test("what it displaces: discs less holes, rods, strands, and the tool's cylinder", () => {
    const section = arm.description.sections[2]!;
    // by hand: disc 16 mm, channel 5 mm, 2 x 2 holes of 1 mm, 3 cable holes of 0.8 mm, 7.5 mm thick
    const disc = (Math.PI / 4) * (16 ** 2 - 5 ** 2 - 4 - 3 * 0.8 ** 2) * 7.5 * 1e-9;
    const along = ((2 * Math.PI) / 4) * 1e-6 * 10e-3 + ((3 * section.cable.massPerLength) / 7900) * 10e-3;
    expect(arm.volume[arm.spans - 1]).toBeCloseTo(disc + along, 15);
    expect(arm.toolVolume).toBeCloseTo((Math.PI / 4) * 14e-3 ** 2 * 26.25e-3, 15);
    const heavy = createArm({ ...arm.description, tool: { ...arm.description.tool, density: 2500 } });
    expect(heavy.toolVolume).toBeCloseTo(0.05 / 2500, 15);
  });

  test("a surface far below or above is no surface", () => {
    const solve = (f: Fluid | undefined): Float64Array => {
      const state = createRodState(arm);
      solveHeld(arm, { gravity: down, forces: [], ...(f === undefined ? {} : { fluid: f }) }, stance, bend, state, createRodWork(arm));
      return state.strain;
    };
    const at = (height: number): Fluid => ({ density: 1025, surface: { at: [0, 0, height], up: [0, 0, 1] } });
    expect(solve(at(-1))).toEqual(solve(undefined));
    // up is gravity over its size: the last bit
    solve(at(1)).forEach((v, k) => {
      expect(v).toBeCloseTo(solve({ density: 1025 })[k] as number, 9);
    });
  });

  test.each<[string, Partial<Fluid>]>([
    ["a negative density", { density: -1 }],
    ["a surface that leans", { surface: { at: [0, 0, 0], up: [0, 0.6, 0.8] } }],
    ["a surface upside down", { surface: { at: [0, 0, 0], up: [0, 0, -1] } }],
    ["a current that is no number", { current: { velocity: [Number.NaN, 0, 0], dragCoefficient: 1 } }],
    ["a negative drag", { current: { velocity: [1, 0, 0], dragCoefficient: -1 } }],
  ])("%s is refused", (_, change) => {
    const bad: Load = { ...load, fluid: { density: 1000, ...change } };
    try {
      solveHeld(arm, bad, stance, bend, createRodState(arm), createRodWork(arm));
      expect.unreachable();
    } catch (error) {
      expect(error).toBeInstanceOf(InputError);
      expect((error as InputError).faults.map((f) => [f.code, f.path])).toEqual([["solve.fluid", "load.fluid"]]);
    }
  });
});
