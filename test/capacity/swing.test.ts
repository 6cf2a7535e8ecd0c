import { expect, test } from "vitest";
import { createArm } from "../../src/arm/index.ts";
import { createCapacityWork, createLockState, createSwingState, holdAt, readSwing, stepLock, stepSwing } from "../../src/capacity/index.ts";
import { pointOf } from "../../src/math/index.ts";
import { copyRodState, solveLocked } from "../../src/rod/index.ts";
import { twinArm } from "../rod/twin.ts";
import { earth, fullLength, lockOf, plainRequest, swingOf } from "./run.ts";

const arm = createArm(twinArm({ sections: 3, spans: 5, pretension: 5 }));
const hold = holdAt(arm, plainRequest(arm, { gravity: earth }), fullLength(arm));

test("left after every step and taken up with fresh memory, a swing comes out the same to the last bit", () => {
  const lock = createLockState(arm, hold);
  while (lock.stage === "bending") stepLock(arm, hold, lock, createCapacityWork(arm));
  let state = createSwingState(arm);
  for (let k = 0; k < 200 && state.stage !== "done"; k++) {
    state = structuredClone(state);
    stepSwing(arm, hold, lock, state, createCapacityWork(arm));
  }
  expect(readSwing(state, 0.05)).toEqual(swingOf(arm, hold, 0.05));
  expect(readSwing(state).found).toBe(true);
});

test("a heavier tool swings slower, a shorter arm faster; the second frequency is not below the first", () => {
  const whole = swingOf(arm, hold);
  const heavy = createArm(twinArm({ sections: 3, spans: 5, pretension: 5, tool: 0.1 }));
  const slow = swingOf(heavy, holdAt(heavy, plainRequest(heavy, { gravity: earth }), fullLength(heavy)));
  const short = swingOf(arm, holdAt(arm, plainRequest(arm, { gravity: earth }), 0.6 * fullLength(arm)));
  expect(slow.frequency).toBeLessThan(whole.frequency);
  expect(short.frequency).toBeGreaterThan(whole.frequency);
  for (const swing of [whole, slow, short]) expect(swing.second).toBeGreaterThanOrEqual(swing.frequency);
});

test("without mass there is nothing to swing, and it says so", () => {
  const light = twinArm({ sections: 1, spans: 4, tool: 0 });
  const bare = createArm({
    ...light,
    sections: light.sections.map((s) => ({
      ...s,
      vertebraMass: 0,
      cable: { ...s.cable, massPerLength: 0 },
      rods: s.rods.map((r) => ({ ...r, material: { ...r.material, density: 1e-300 } })),
    })),
  });
  const swing = swingOf(bare, holdAt(bare, plainRequest(bare), fullLength(bare)));
  expect(swing.found).toBe(false);
  expect(swing.frequency).toBeNaN();
});

test("both frequencies of a bent, loaded arm, another way: its flexibility by differences, mass by mass, and plain power iteration", () => {
  const small = createArm({ ...twinArm({ sections: 2, spans: 3, pretension: 8 }), driveStiffness: 4e4 });
  const bend = Float64Array.of(0.1, -0.05, 0.05, 0.1);
  const held = holdAt(small, plainRequest(small, { gravity: earth, bend }), fullLength(small));
  const { lock, work } = lockOf(small, held);
  const { mass, centre } = small.description.tool;
  const places = [
    ...Array.from({ length: small.spans }, (_, k) => ({ vertebra: k + 1, at: [0, 0, 0] as const })),
    { vertebra: small.spans, at: centre },
  ];
  const masses = places.map((p, k) => (k < small.spans ? (small.mass[p.vertebra] as number) : mass));
  const n = 3 * places.length;
  const h = 1e-3;
  const shapeUnder = (k: number, sign: number): Float64Array => {
    const state = copyRodState(lock.rod);
    const force = [0, 1, 2].map((r) => (r === k % 3 ? sign * h : 0)) as unknown as [number, number, number];
    const point = { ...(places[Math.floor(k / 3)] as (typeof places)[number]), force };
    solveLocked(small, { gravity: earth, forces: [point] }, held.stance, lock.free, state, work.rod, { ramp: false, tolerance: 1e-12 });
    const out = new Float64Array(n);
    places.forEach((p, m) => pointOf(work.rod.frame, p.vertebra, p.at[0], p.at[1], p.at[2], out, 3 * m));
    return out;
  };
  // M^1/2 F M^1/2: its largest value is one over the square of the lowest frequency
  const root = Array.from({ length: n }, (_, k) => Math.sqrt(masses[Math.floor(k / 3)] as number));
  const matrix = Array.from({ length: n }, (_, k) => {
    const [plus, minus] = [shapeUnder(k, 1), shapeUnder(k, -1)];
    return Array.from(plus, (v, r) => ((v - (minus[r] as number)) / (2 * h)) * (root[r] as number) * (root[k] as number));
  });
  const largest = (without: readonly number[] | undefined): { value: number; vector: number[] } => {
    let v = Array.from({ length: n }, (_, k) => Math.sin(1 + k));
    let value = 0;
    for (let turn = 0; turn < 20_000; turn++) {
      if (without !== undefined) {
        const along = v.reduce((sum, x, k) => sum + x * (without[k] as number), 0);
        v = v.map((x, k) => x - along * (without[k] as number));
      }
      const next = Array.from({ length: n }, (_, r) =>
        matrix.reduce((sum, column, k) => sum + (column[r] as number) * (v[k] as number), 0),
      );
      const size = Math.hypot(...next);
      value = size / Math.hypot(...v);
      v = next.map((x) => x / size);
    }
    return { value, vector: v };
  };
  const first = largest(undefined);
  const second = largest(first.vector);
  const swing = swingOf(small, held);
  expect(swing.frequency / (1 / (2 * Math.PI * Math.sqrt(first.value)))).toBeCloseTo(1, 5);
  expect(swing.second / (1 / (2 * Math.PI * Math.sqrt(second.value)))).toBeCloseTo(1, 4);
});
