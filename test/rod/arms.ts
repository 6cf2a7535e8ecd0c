/** Plain arms for tests: one round rod on the axis, vertebrae without mass or thickness, so that closed forms of a rod hold. */
import type { ArmDescription, ArmModel, Section } from "../../src/arm/index.ts";
import { createArm } from "../../src/arm/index.ts";
import { createRodState, createRodWork, type Load, type RodState, type RodWork, type Stance } from "../../src/rod/index.ts";

export interface PlainRod {
  length: number;
  spans: number;
  /** N m^2 */
  ei: number;
  poissonRatio?: number;
  /** kg/m */
  massPerLength?: number;
  /** cable angles of each section, rad; three unpulled ones when absent */
  cables?: readonly (readonly number[])[];
  cableRadius?: number;
  rest?: readonly [number, number, number];
  pretension?: number;
  /** share of each span that is flexible, 1 when absent */
  flexibleShare?: number;
}

const third = (2 * Math.PI) / 3;

/** A rod of 1 mm (only EI = E pi d^4 / 64 matters while the axial strain is locked). */
export function plainRod(rod: PlainRod): ArmDescription {
  const diameter = 1e-3;
  const sections = rod.cables ?? [[0, third, 2 * third]];
  const each = rod.spans / sections.length;
  const pitch = rod.length / rod.spans;
  const section = (cableAngles: readonly number[], j: number): Section => ({
    name: `section ${j + 1}`,
    spans: each,
    pitch,
    flexible: pitch * (rod.flexibleShare ?? 1),
    effectiveLength: pitch * (rod.flexibleShare ?? 1),
    outerDiameter: 10 * (rod.cableRadius ?? 8e-3),
    channelDiameter: 0,
    vertebraMass: 0,
    rods: [
      {
        x: 0,
        y: 0,
        diameter,
        attachment: "clamped",
        material: {
          name: "test",
          youngModulus: (rod.ei * 64) / (Math.PI * diameter ** 4),
          poissonRatio: rod.poissonRatio ?? 0.3,
          density: ((rod.massPerLength ?? 0) * 4) / (Math.PI * diameter ** 2),
          allowedStrain: 1,
          fatigueStrain: 1,
        },
      },
    ],
    alternating: false,
    hoses: [],
    cableAngles,
    cableRadius: rod.cableRadius ?? 8e-3,
    holeDiameter: 1e-4,
    cable: { name: "test", diameter: 1e-4, effectiveModulus: 1e11, breakingLoad: 100, massPerLength: 0 },
    pretension: rod.pretension ?? 0,
    jointLimit: 10,
    ...(rod.rest === undefined ? {} : { rest: rod.rest }),
  });
  return {
    name: "plain rod",
    sections: sections.map(section),
    tool: { name: "none", mass: 0, centre: [0, 0, 0], diameter: 0, length: 0 },
    conduitLength: 0,
    cableDesignFactor: 1,
    terminationFactor: 1,
  };
}

export interface Bench {
  arm: ArmModel;
  state: RodState;
  work: RodWork;
}

export function inextensible(rod: PlainRod): Bench {
  return bench(createArm(plainRod(rod), { lock: ["axial"] }));
}

export function bench(arm: ArmModel): Bench {
  return { arm, state: createRodState(arm), work: createRodWork(arm) };
}

/** Base at the origin, the arm along world x, its own x up along z and its own y to the right along -y... world columns (x, y, z axes). */
export function stanceAlongX(exit = 0, rise = 0): Stance {
  // columns: arm x = up turned by the rise, arm y = -world y turned about it, arm z = forward
  const c = Math.cos(rise);
  const s = Math.sin(rise);
  return { base: Float64Array.of(-s, 0, c, 0, -1, 0, c, 0, s, 0, 0, 0), exit };
}

export const noLoad: Load = { gravity: [0, 0, 0], forces: [] };

export function tipForce(arm: ArmModel, force: readonly [number, number, number]): Load {
  return { gravity: [0, 0, 0], forces: [{ vertebra: arm.spans, force, at: [0, 0, 0] }] };
}

/** Tip position and tangent (third column), world. */
export function tipOf(bench: Bench): { at: [number, number, number]; tangent: [number, number, number] } {
  const f = bench.work.frame;
  const o = 12 * bench.arm.spans;
  return {
    at: [f[o + 9] as number, f[o + 10] as number, f[o + 11] as number],
    tangent: [f[o + 2] as number, f[o + 5] as number, f[o + 8] as number],
  };
}
