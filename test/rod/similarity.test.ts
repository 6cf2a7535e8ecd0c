/**
 * Similarity: the same arm, every length L times as large, of the same materials, under loads that keep forces over E L^2: it takes the same
 * shape. A number hidden anywhere that has a unit would show. Moduli F times as large with forces to match: the same again. Random arms with
 * softening rods and stops, in fluid, among walls. (Cables do not rub here: they turn their friction over within a sliding of a stated length.)
 */
import { describe, expect, test } from "vitest";
import { type ArmDescription, createArm } from "../../src/arm/index.ts";
import type { Wall } from "../../src/math/index.ts";
import {
  checkBalance,
  copyRodState,
  createRodState,
  createRodWork,
  type Load,
  readFreeLengths,
  solveHeld,
  solveLocked,
  solveTensions,
} from "../../src/rod/index.ts";
import type { RandomCase } from "./random-arm.ts";
import { roughCase } from "./random-surroundings.ts";

/** Lengths times L, moduli times F; gravity is kept over (E / rho L). */
function scaleArm(whole: ArmDescription, L: number, F: number): ArmDescription {
  const force = F * L * L;
  return {
    ...whole,
    sections: whole.sections.map((section) => ({
      ...section,
      pitch: L * section.pitch,
      flexible: L * section.flexible,
      effectiveLength: L * section.effectiveLength,
      outerDiameter: L * section.outerDiameter,
      channelDiameter: L * section.channelDiameter,
      vertebraMass: L ** 3 * section.vertebraMass,
      rods: section.rods.map((rod) => ({
        ...rod,
        x: L * rod.x,
        y: L * rod.y,
        diameter: L * rod.diameter,
        material: {
          ...rod.material,
          youngModulus: F * rod.material.youngModulus,
          ...(rod.material.plateauModulus === undefined ? {} : { plateauModulus: F * rod.material.plateauModulus }),
        },
      })),
      hoses: section.hoses.map((hose) => ({
        ...hose,
        bendingStiffness: F * L ** 4 * hose.bendingStiffness,
        torsionStiffness: F * L ** 4 * hose.torsionStiffness,
        massPerLength: L * L * hose.massPerLength,
      })),
      cableRadius: L * section.cableRadius,
      holeDiameter: L * section.holeDiameter,
      cable: {
        ...section.cable,
        diameter: L * section.cable.diameter,
        effectiveModulus: F * section.cable.effectiveModulus,
        breakingLoad: force * section.cable.breakingLoad,
        massPerLength: L * L * section.cable.massPerLength,
      },
      pretension: force * section.pretension,
    })),
    tool: {
      ...whole.tool,
      mass: L ** 3 * whole.tool.mass,
      centre: whole.tool.centre.map((v) => L * v) as never,
      diameter: L * whole.tool.diameter,
      length: L * whole.tool.length,
    },
    conduitLength: L * whole.conduitLength,
    ...(whole.base?.compliance === undefined
      ? {}
      : {
          base: {
            // turns a unit moment, both kinds a unit of the other, shifts a unit force
            compliance: whole.base.compliance.map((v, k) => v / (F * L ** (3 - (k % 6 < 3 ? 0 : 1) - (k < 18 ? 0 : 1)))),
          },
        }),
  };
}

function scaleLoad(load: Load, L: number, F: number): Load {
  const by = (v: readonly number[], factor: number): never => v.map((x) => factor * x) as never;
  const force = F * L * L;
  const { fluid, walls, following: f } = load;
  return {
    ...load,
    gravity: by(load.gravity, F / L),
    forces: load.forces.map((point) => ({ ...point, force: by(point.force, force), at: by(point.at, L) })),
    ...(f === undefined ? {} : { following: f.map((v, k) => (k < 3 ? L : 1) * force * v) as never }),
    ...(load.moment === undefined ? {} : { moment: by(load.moment, force * L) }),
    ...(fluid === undefined
      ? {}
      : {
          fluid: {
            ...fluid,
            ...(fluid.surface === undefined ? {} : { surface: { ...fluid.surface, at: by(fluid.surface.at, L) } }),
            // rho U^2 over E
            ...(fluid.current === undefined ? {} : { current: { ...fluid.current, velocity: by(fluid.current.velocity, Math.sqrt(F)) } }),
          },
        }),
    ...(walls === undefined
      ? {}
      : { walls: { ...walls, stiffness: F * L * walls.stiffness, field: { walls: walls.field.walls.map((wall) => scaleWall(wall, L)) } } }),
  };
}

function scaleWall(wall: Wall, L: number): Wall {
  const at = (v: readonly number[]): never => v.map((x) => L * x) as never;
  if (wall.kind === "plane") return { ...wall, at: at(wall.at) };
  if (wall.kind === "tube") return { ...wall, at: at(wall.at), radius: L * wall.radius };
  if (wall.kind !== "box") throw new Error(`no way to scale a wall of kind ${wall.kind}`);
  return { ...wall, frame: wall.frame.map((v, k) => (k < 9 ? v : L * v)), half: at(wall.half) };
}

const kinds = [
  ["in fluid, on a base that gives, with stops and softening rods", { fluid: true, soft: true, stops: true, base: true }, 10],
  ["in fluid, among walls", { fluid: true, walls: true }, 5],
] as const;

describe.each(kinds)("%s", (_, what, count) => {
  test.each([
    [10, 0.5],
    [3, 1],
    [1, 0.1],
    [2, 4],
  ])("lengths times %d, moduli times %d", { timeout: 60_000 }, (L, F) => {
    let compared = 0;
    for (let seed = 9000; seed < 9000 + count; seed++) {
      const whole = roughCase(seed, what);
      const other: RandomCase = {
        arm: createArm(scaleArm(whole.arm.description, L, F)),
        load: scaleLoad(whole.load, L, F),
        stance: { base: whole.stance.base.map((v, k) => (k < 9 ? v : L * v)), exit: L * whole.stance.exit },
        bend: whole.bend,
      };
      const [one, two] = [solveAll(whole), solveAll(other)];
      expect([seed, ...two.map(({ status }) => status)]).toEqual([seed, ...one.map(({ status }) => status)]);
      one.forEach((a, n) => {
        const b = two[n] as (typeof two)[number];
        if (a.status !== "stable" && a.status !== "slack") return;
        compared++;
        let turn = 0;
        a.turns.forEach((v, k) => {
          turn = Math.max(turn, Math.abs(v - (b.turns[k] as number)));
        });
        let pull = 0;
        a.tension.forEach((t, c) => {
          pull = Math.max(pull, Math.abs(t - (b.tension[c] as number) / (F * L * L)) / (1 + t));
        });
        // rounding and what the last step leaves, times the condition of the balance
        expect([seed, n, turn < 1e-7, pull < 1e-6, turn, pull]).toEqual([seed, n, true, true, turn, pull]);
        expect(b.residual).toBeLessThan(1e-5 * Math.max(1, F * L ** 3));
      });
    }
    expect(compared).toBeGreaterThan(2 * count);
  });
});

/** Held, its lengths locked under a third more gravity, its tensions: joint angles (axial: strains), tensions, what is left over. */
function solveAll({ arm, load, stance, bend }: RandomCase) {
  const work = createRodWork(arm);
  const state = createRodState(arm);
  const seen: { status: string; turns: Float64Array; tension: Float64Array; residual: number }[] = [];
  const add = (status: string, at: typeof state, on: Load): boolean => {
    const turns = at.strain.map((v, k) => v * (k % 4 === 3 ? 1 : (work.flexible[k >> 2] as number)));
    const residual = status === "not-converged" ? 0 : checkBalance(arm, on, stance, at);
    seen.push({ status, turns, tension: at.tension.slice(), residual });
    return status === "stable" || status === "slack";
  };
  if (!add(solveHeld(arm, load, stance, bend, state, work).status, state, load)) return seen;
  const free = new Float64Array(arm.cables);
  readFreeLengths(arm, state, work, free);
  const more: Load = { ...load, gravity: load.gravity.map((g) => (4 / 3) * g) as never };
  const locked = copyRodState(state);
  add(solveLocked(arm, more, stance, free, locked, work).status, locked, more);
  add(solveTensions(arm, load, stance, state, work, { escape: false }).status, state, load);
  return seen;
}
