/** Bounds of what play may do: by hand for a straight arm, and never passed by play thrown at random on a bent one. */
import { describe, expect, test } from "vitest";
import { type ArmDescription, createArm, type Section } from "../../src/arm/index.ts";
import { createRandom, InputError } from "../../src/base/index.ts";
import {
  createPlayBound,
  createRodState,
  createRodWork,
  isLoose,
  type PlayBound,
  playDisplacement,
  type Stance,
  solveTensions,
} from "../../src/rod/index.ts";
import { noLoad, stanceAlongX } from "./arms.ts";
import { twinArm } from "./twin.ts";

const degree = Math.PI / 180;
const exactly = { shift: 0, tilt: 0 };
const exact = (value: number) => ({ nominal: value, low: value, high: value });

function loosened(play: Partial<Section>, base: Partial<ArmDescription> = {}, options: Parameters<typeof twinArm>[0] = {}) {
  const whole = twinArm(options);
  return createArm({ ...whole, ...base, sections: whole.sections.map((section) => ({ ...section, ...play })) });
}

/** The arm straight from the exit on. */
function straight(arm: ReturnType<typeof createArm>, exit = 0): PlayBound & { firstFree: number } {
  const work = createRodWork(arm);
  const stance: Stance = stanceAlongX(exit);
  const state = createRodState(arm);
  state.tension.fill(0);
  expect(solveTensions(arm, { ...noLoad, toolShare: 0 }, stance, state, work).status).toBe("stable");
  const out = createPlayBound(arm);
  playDisplacement(arm, work.frame, work.firstFree, [exit, 0, 0], exactly, out);
  return { ...out, firstFree: work.firstFree };
}

describe("by hand", () => {
  test("joints of a straight arm: play times the distance to the tool point, summed; aim and twist: play times joints", () => {
    const bend = 0.3 * degree;
    const twist = 0.2 * degree;
    const play = { bend: exact(bend), twist: exact(twist), hole: exact(0) };
    const arm = loosened({ play }, {}, { sections: 2, spans: 12 });
    const { tip, aim, twist: turned, hull } = straight(arm);
    // 24 joints, pitch 10 mm, hinge from 3.75 mm on; tool point 30 mm beyond the last centre at 240 mm
    const levers = Array.from({ length: 24 }, (_, i) => 0.27 - (0.01 * i + 3.75e-3));
    expect(tip[0]).toBeCloseTo(bend * levers.reduce((a, b) => a + b, 0), 12);
    expect(aim[0]).toBeCloseTo(24 * bend, 12);
    expect(turned[0]).toBeCloseTo(24 * twist, 12);
    // a round hull does not feel a twist about its own axis; its far rim, 7 mm aside of the tool point, feels the bends
    expect(hull[24]).toBeCloseTo((tip[0] as number) + 24 * bend * 7e-3, 10);
    expect(hull[0]).toBe(0);
    expect([tip[1], tip[2], aim[1], aim[2]]).toEqual([0, 0, 0, 0]);
  });

  test("0.5 mm of play over 60 mm: 8 mm at a metre; half a degree of the port: 9 mm (common practice, no source)", () => {
    const base = { base: { guidePlay: exact(0.5e-3), guideGrip: 60e-3 } };
    const tool = { ...twinArm().tool, length: 40e-3, diameter: 0 };
    const arm = loosened({}, { ...base, tool }, { sections: 8, spans: 12 });
    const bound = createPlayBound(arm);
    const work = createRodWork(arm);
    solveTensions(arm, { ...noLoad, toolShare: 0 }, stanceAlongX(), createRodState(arm), work);
    playDisplacement(arm, work.frame, 0, [0, 0, 0], { shift: 0, tilt: 0.5 * degree }, bound);
    // a metre: 0.96 m of arm and the tool; a strand's pretension shortens it by some hundredths of a millimetre
    expect((bound.tip[1] as number) - 0.25e-3).toBeCloseTo(8.333e-3, 4);
    expect(bound.tip[2]).toBeCloseTo(8.727e-3, 4);
    expect(bound.aim[1]).toBeCloseTo(0.5 / 60, 12);
  });

  test("spans in the guide have no play; nothing loose is told as such", () => {
    const arm = loosened({ play: { bend: exact(0.01), twist: exact(0), hole: exact(0) } }, {}, { sections: 1, spans: 10 });
    const { aim, firstFree } = straight(arm, 0.055);
    expect(firstFree).toBeGreaterThan(4);
    expect(aim[0]).toBeCloseTo((10 - firstFree) * 0.01, 12);
    expect([isLoose(arm, exactly), isLoose(loosened({}), exactly), isLoose(loosened({}), { shift: 1e-3, tilt: 0 })]).toEqual([
      true,
      false,
      true,
    ]);
  });

  test("room in the holes: a share of the bend, (0.8 - 0.6) / 2 / 6.3", () => {
    const arm = loosened({ play: { bend: exact(0), twist: exact(0) } }, {}, { sections: 1, spans: 6 });
    const work = createRodWork(arm);
    const state = createRodState(arm);
    state.tension.set([20, 0, 0]);
    expect(solveTensions(arm, { ...noLoad, toolShare: 0 }, stanceAlongX(), state, work).status).toBe("stable");
    const bound = createPlayBound(arm);
    playDisplacement(arm, work.frame, 0, [0, 0, 0], exactly, bound);
    const bent = Array.from({ length: 6 }, (_, i) => 2.5e-3 * Math.hypot(state.strain[4 * i] as number, state.strain[4 * i + 1] as number));
    const whole = bent.reduce((a, b) => a + b, 0);
    expect(whole).toBeGreaterThan(0.05);
    expect((bound.aim[0] as number) / whole).toBeCloseTo(0.1 / 6.3, 6);
  });
});

describe("play thrown at random (seed 5): a bent, twisted arm never moves farther than the bound", () => {
  const random = createRandom(5);
  const play = { bend: exact(0.02), twist: exact(0.03), hole: exact(0) };
  const arm = loosened({ play }, { base: { guidePlay: exact(0.4e-3), guideGrip: 20e-3 } }, { sections: 3, spans: 6 });
  const n = arm.spans;
  const work = createRodWork(arm);
  const state = createRodState(arm);
  state.tension.set([30, 5, 5, 5, 40, 5, 5, 5, 30]);
  solveTensions(arm, { gravity: [2, -3, -9], forces: [] }, stanceAlongX(), state, work);
  const frames = work.frame.slice();
  const port = { shift: 1e-3, tilt: 0.01 };
  const bound = createPlayBound(arm);
  playDisplacement(arm, frames, 0, [0, 0, 0], port, bound);

  // places of every hull: rims of both faces, and of the tool's end
  const places = Array.from({ length: n + 1 }, (_, v) => {
    const faces: [number, number][] = [[8e-3, -3.75e-3], [8e-3, 3.75e-3]]; // biome-ignore format: pairs
    if (v === n) faces.push([7e-3, 30e-3]);
    return faces.flatMap(([r, z]) =>
      Array.from({ length: 12 }, (_, k) => [r * Math.cos((k * Math.PI) / 6), r * Math.sin((k * Math.PI) / 6), z]),
    );
  });
  /** distance of a place from a closed cylinder about z of frame v of the shape as computed */
  const outside = (v: number, p: readonly number[], radius: number, low: number, high: number): number => {
    const d = [0, 1, 2].map((r) => (p[r] as number) - (frames[12 * v + 9 + r] as number));
    const q = [0, 1, 2].map((c) => [0, 1, 2].reduce((sum, r) => sum + (frames[12 * v + 3 * r + c] as number) * (d[r] as number), 0));
    const off = Math.max(0, Math.hypot(q[0] as number, q[1] as number) - radius);
    return Math.hypot(off, Math.max(0, low - (q[2] as number), (q[2] as number) - high));
  };

  test.each([0, 1])("thrown %s: within the bound; all one way comes near it", (kind) => {
    let nearest = 0;
    let hull = 0;
    for (let trial = 0; trial < 150; trial++) {
      // all joints one way, or each its own
      const way = 2 * Math.PI * random();
      const angle = () => (kind === 0 ? way : 2 * Math.PI * random());
      const moved = frames.slice();
      const turnBeyond = (from: number, origin: number[], axis: number[], by: number): void => {
        for (let v = from; v <= n; v++) turnFrame(moved, v, origin, axis, by);
      };
      // port and guide about the exit, then joint after joint outwards, each about axes of the vertebra below it as it stands
      const across = (v: number, a: number): number[] =>
        [0, 1, 2].map((r) => Math.cos(a) * (moved[12 * v + 3 * r] as number) + Math.sin(a) * (moved[12 * v + 3 * r + 1] as number));
      turnBeyond(0, [0, 0, 0], across(0, angle()), 0.01);
      turnBeyond(0, [0, 0, 0], across(0, angle()), 0.02);
      const aside = across(0, angle());
      for (let v = 0; v <= n; v++)
        for (let r = 0; r < 3; r++) moved[12 * v + 9 + r] = (moved[12 * v + 9 + r] as number) + 1.2e-3 * (aside[r] as number);
      for (let i = 0; i < n; i++) {
        const z = [0, 1, 2].map((r) => moved[12 * i + 3 * r + 2] as number);
        const at = [0, 1, 2].map((r) => (moved[12 * i + 9 + r] as number) + (3.75e-3 + 2.5e-3 * random()) * (z[r] as number));
        turnBeyond(i + 1, at, across(i, angle()), 0.02);
        turnBeyond(i + 1, at, z, (kind === 0 ? 1 : random() < 0.5 ? 1 : -1) * 0.03);
      }
      for (let v = 0; v <= n; v++) {
        for (const p of places[v] as number[][]) {
          const w = [0, 1, 2].map(
            (r) =>
              (moved[12 * v + 9 + r] as number) +
              [0, 1, 2].reduce((sum, c) => sum + (moved[12 * v + 3 * r + c] as number) * (p[c] as number), 0),
          );
          // how far it is outside the hull as computed: less than the hull may move
          const tool = v === n ? outside(v, w, 7e-3, 3.75e-3, 30e-3) : Number.POSITIVE_INFINITY;
          const off = Math.min(tool, outside(v, w, 8e-3, -3.75e-3, 3.75e-3));
          hull = Math.max(hull, off / (bound.hull[v] as number));
        }
      }
      const end = (f: Float64Array): number[] =>
        [0, 1, 2].map((r) => (f[12 * n + 9 + r] as number) + 30e-3 * (f[12 * n + 3 * r + 2] as number));
      const gone = Math.hypot(...end(moved).map((value, r) => value - (end(frames)[r] as number)));
      const most = (bound.tip as Float64Array).reduce((a, b) => a + b, 0);
      expect(gone).toBeLessThan(most);
      nearest = Math.max(nearest, gone / most);
      const cosine = [0, 1, 2].reduce((sum, r) => sum + (moved[12 * n + 3 * r + 2] as number) * (frames[12 * n + 3 * r + 2] as number), 0);
      expect(Math.acos(cosine)).toBeLessThan((bound.aim as Float64Array).reduce((a, b) => a + b, 0));
    }
    expect(hull).toBeLessThan(1);
    // the bound is no idle one
    if (kind === 0) expect(nearest).toBeGreaterThan(0.7);
  });
});

/** Rodrigues' rotation of frame v about an axis through a place. */
function turnFrame(frames: Float64Array, v: number, origin: number[], axis: number[], by: number): void {
  const [x, y, z] = axis as [number, number, number];
  const c = Math.cos(by);
  const s = Math.sin(by);
  const turn = (p: readonly number[]): number[] => {
    const [a, b, d] = p as [number, number, number];
    const dot = (x * a + y * b + z * d) * (1 - c);
    return [a * c + (y * d - z * b) * s + x * dot, b * c + (z * a - x * d) * s + y * dot, d * c + (x * b - y * a) * s + z * dot];
  };
  const o = 12 * v;
  const p = turn([0, 1, 2].map((r) => (frames[o + 9 + r] as number) - (origin[r] as number)));
  for (let k = 0; k < 3; k++) {
    const column = turn([0, 1, 2].map((r) => frames[o + 3 * r + k] as number));
    for (let r = 0; r < 3; r++) frames[o + 3 * r + k] = column[r] as number;
    frames[o + 9 + k] = (origin[k] as number) + (p[k] as number);
  }
}

test("a guide's play without its grip, and play below zero, are refused with their place", () => {
  const faults = (make: () => unknown): string[] => {
    try {
      make();
    } catch (error) {
      if (error instanceof InputError) return error.faults.map((fault) => fault.path);
      throw error;
    }
    return [];
  };
  expect(faults(() => loosened({}, { base: { guidePlay: exact(1e-3) } }))).toEqual(["base.guideGrip"]);
  expect(faults(() => loosened({ play: { bend: exact(-1), twist: exact(0) } }, {}, { sections: 1 }))).toEqual(["sections[0].play.bend"]);
});
