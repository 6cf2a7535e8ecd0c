/**
 * Laws that any elastic body under loads with a potential obeys, whatever its stiffness: Maxwell and Betti's reciprocity and
 * Castigliano's theorem (textbooks of structural mechanics, from memory). Sensitivities and energy come from the solver, motions from
 * differences of whole solves. Random arms (seed in the name).
 */
import { describe, expect, test } from "vitest";
import {
  cableResponse,
  copyRodState,
  createRodState,
  createRodWork,
  type Load,
  type RodState,
  type RodWork,
  readFreeLengths,
  solveHeld,
  solveLocked,
  solveTensions,
  tipCompliance,
} from "../../src/rod/index.ts";
import type { RandomCase } from "./random-arm.ts";
import { roughCase } from "./random-surroundings.ts";

type Vector = [number, number, number];

/** The first cases from a seed on whose held shape is stable, under loads that have a potential. */
function pick(from: number, count: number): { whole: RandomCase; state: RodState; seed: number }[] {
  const found: { whole: RandomCase; state: RodState; seed: number }[] = [];
  for (let seed = from; found.length < count; seed++) {
    // every other one on a base that gives
    const drawn = roughCase(seed, { base: seed % 2 === 1 });
    const whole = { ...drawn, load: { gravity: drawn.load.gravity, forces: drawn.load.forces } };
    const state = createRodState(whole.arm);
    const work = createRodWork(whole.arm);
    if (solveHeld(whole.arm, whole.load, whole.stance, whole.bend, state, work).status !== "stable") continue;
    // and at its tensions too
    if (solveTensions(whole.arm, whole.load, whole.stance, state, work, { escape: false }).status !== "stable") continue;
    found.push({ whole, state, seed });
  }
  return found;
}

const tight = { tolerance: 1e-11 };

/** Difference quotient of whole solves about a balance, the error of second order taken off. */
function slope(of: (step: number) => number[], step: number): number[] {
  const d = (h: number): number[] => {
    const [up, down] = [of(h), of(-h)];
    return up.map((v, k) => (v - (down[k] as number)) / (2 * h));
  };
  const [fine, coarse] = [d(step / 2), d(step)];
  return fine.map((v, k) => (4 * v - (coarse[k] as number)) / 3);
}

function withForce({ load, arm }: RandomCase, force: Vector, vertebra = arm.spans): Load {
  return { ...load, forces: [...load.forces, { vertebra, force, at: [0, 0, 0] }] };
}

function tipPlace({ arm }: RandomCase, work: RodWork): Vector {
  const o = 12 * arm.spans;
  return [work.frame[o + 9] as number, work.frame[o + 10] as number, work.frame[o + 11] as number];
}

describe.each([7000, 7100, 7200])("random arms from seed %d on", (from) => {
  const cases = pick(from, 4);

  test("a newton more on a cable moves the tip as a newton on the tip lengthens the cable (Maxwell): tensions kept", () => {
    for (const { whole, state, seed } of cases) {
      const { arm, load, stance } = whole;
      const work = createRodWork(arm);
      const solved = copyRodState(state);
      solveTensions(arm, load, stance, solved, work, tight);
      const out = new Float64Array(6 * arm.cables * (arm.spans + 1));
      cableResponse(arm, solved, "tension", work, out);
      const frame = work.frame.slice(12 * arm.spans);
      for (const k of [0, 1, 2]) {
        const lengthened = slope((step) => {
          const at = copyRodState(state);
          const force: Vector = [0, 0, 0];
          force[k] = step;
          expect(solveTensions(arm, withForce(whole, force), stance, at, work, tight).status).toBe("stable");
          return Array.from(work.cableLength);
        }, 1e-3);
        const scale = Math.max(...lengthened.map(Math.abs));
        for (let c = 0; c < arm.cables; c++) {
          // the tip's motion is told in its own axes
          const o = 6 * ((arm.spans + 1) * c + arm.spans) + 3;
          const moved = [0, 1, 2].reduce((sum, r) => sum + (frame[3 * k + r] as number) * (out[o + r] as number), 0);
          // differences over 1e-3 N: 1e-7 of the whole
          expect([seed, c, Math.abs(moved + (lengthened[c] as number)) < 1e-6 * scale]).toEqual([seed, c, true]);
        }
      }
    }
  });

  test("compliance of the tip is symmetric, drives locked or tensions kept (Betti), and that of a stable shape costs work", () => {
    for (const { whole, state, seed } of cases) {
      const { arm, load, stance } = whole;
      const work = createRodWork(arm);
      const solved = copyRodState(state);
      solveTensions(arm, load, stance, solved, work, tight);
      for (const drives of ["tensions", "locked"] as const) {
        const C = new Float64Array(36);
        tipCompliance(arm, solved, drives, work, C);
        for (let r = 0; r < 6; r++) {
          expect([seed, C[7 * r] as number]).toEqual([seed, Math.abs(C[7 * r] as number)]);
          for (let k = 0; k < r; k++) {
            const scale = Math.sqrt((C[7 * r] as number) * (C[7 * k] as number));
            expect([seed, drives, Math.abs((C[6 * r + k] as number) - (C[6 * k + r] as number)) < 1e-9 * scale]).toEqual([
              seed,
              drives,
              true,
            ]);
          }
        }
      }
    }
  });

  test("the solver's energy falls by the tip's way a newton of tip force, and rises by a cable's length a newton of its tension (Castigliano)", () => {
    for (const { whole, state, seed } of cases) {
      const { arm, load, stance } = whole;
      const work = createRodWork(arm);
      const at = (on: Load, change: (next: RodState) => void): number => {
        const next = copyRodState(state);
        change(next);
        expect(solveTensions(arm, on, stance, next, work, tight).status).toBe("stable");
        return work.energy;
      };
      at(load, () => {});
      const place = tipPlace(whole, work);
      const lengths = work.cableLength.slice();
      for (const k of [0, 1, 2]) {
        const [along] = slope((step) => {
          const force: Vector = [0, 0, 0];
          force[k] = step;
          return [at(withForce(whole, force), () => {})];
        }, 1e-2) as [number];
        // rounding of an energy of a joule over 1e-2 N
        expect([seed, Math.abs(along + (place[k] as number)) < 1e-9]).toEqual([seed, true]);
      }
      for (let c = 0; c < arm.cables; c++) {
        const [along] = slope((step) => [at(load, (next) => (next.tension[c] = (next.tension[c] as number) + step))], 1e-2) as [number];
        expect([seed, c, Math.abs(along - (lengths[c] as number)) < 1e-9]).toEqual([seed, c, true]);
      }
    }
  });

  test("with the drives locked a force on one vertebra moves another as the other's force moves the first", () => {
    for (const { whole, state, seed } of cases) {
      const { arm, load, stance } = whole;
      const work = createRodWork(arm);
      const solved = copyRodState(state);
      solveTensions(arm, load, stance, solved, work, tight);
      const free = new Float64Array(arm.cables);
      readFreeLengths(arm, solved, work, free);
      const [near, far] = [Math.max(work.firstFree + 1, Math.ceil(arm.spans / 2)), arm.spans];
      const moved = (vertebra: number, seen: number, k: number): number[] =>
        slope((step) => {
          const next = copyRodState(solved);
          const force: Vector = [0, 0, 0];
          force[k] = step;
          expect(["stable", "slack"]).toContain(
            solveLocked(arm, withForce(whole, force, vertebra), stance, free, next, work, tight).status,
          );
          return [9, 10, 11].map((r) => work.frame[12 * seen + r] as number);
        }, 1e-3);
      const there = [0, 1, 2].map((k) => moved(near, far, k));
      const back = [0, 1, 2].map((k) => moved(far, near, k));
      const scale = Math.max(...there.flat().map(Math.abs));
      for (const r of [0, 1, 2])
        for (const k of [0, 1, 2])
          expect([seed, Math.abs((there[k]?.[r] as number) - (back[r]?.[k] as number)) < 1e-5 * scale]).toEqual([seed, true]);
    }
  });
});
