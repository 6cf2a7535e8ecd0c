/** Run by a test in a process of its own, its garbage collected on call and its code compiled in turn with it: prints bytes allocated a solve, by kind, as JSON. */
import { createArm } from "../../src/arm/index.ts";
import type { Wall } from "../../src/math/index.ts";
import {
  createContact,
  createRodState,
  createRodWork,
  heldResponse,
  type Load,
  readContact,
  readFreeLengths,
  solveHeld,
  solveLocked,
  solveTensions,
} from "../../src/rod/index.ts";
import { type Body, createSpace, createWalls } from "../../src/space/index.ts";
import { stanceAlongX } from "./arms.ts";
import { twinArm } from "./twin.ts";

const arm = createArm(twinArm({ sections: 2, spans: 4, cables: 4 }));
const work = createRodWork(arm);
const state = createRodState(arm);
const stance = stanceAlongX();
const load: Load = { gravity: [0, 0, -9.81], forces: [{ vertebra: 8, force: [0.1, 0.2, 0.1], at: [0, 0, 0.01] }] };
const heavy: Load = { ...load, gravity: [0, 0, -20] };
const following: Load = { ...load, following: [0, 0, 0.01, 0.1, 0, 0] };
const bends = [Float64Array.of(0.1, 0.1, -0.1, 0.1), Float64Array.of(0.1, 0.12, -0.1, 0.12)] as const;
const free = new Float64Array(arm.cables);

/** Bytes a call, when nothing is collected on the way: the young space holds them all. */
function measure(calls: number, solve: (k: number) => void, warm = 1500): number {
  for (let k = 0; k < warm; k++) solve(k);
  const collect = (globalThis as { gc?: () => void }).gc as () => void;
  let least = Number.POSITIVE_INFINITY;
  for (let repeat = 0; repeat < 4; repeat++) {
    collect();
    const before = process.memoryUsage().heapUsed;
    for (let k = 0; k < calls; k++) solve(k);
    const grown = process.memoryUsage().heapUsed - before;
    // below zero: it was collected meanwhile, so that run says nothing
    if (grown >= 0) least = Math.min(least, grown / calls);
  }
  return least;
}

const bytes: Record<string, number> = {};
const pressing: number[] = [];
bytes["held"] = measure(1000, (k) => {
  solveHeld(arm, load, stance, bends[k % 2] as Float64Array, state, work);
});
bytes["response"] = measure(1000, () => heldResponse(arm, work));
readFreeLengths(arm, state, work, free);
bytes["locked"] = measure(1000, (k) => {
  solveLocked(arm, k % 2 === 0 ? heavy : load, stance, free, state, work);
});
bytes["tensions"] = measure(1000, (k) => {
  solveTensions(arm, k % 2 === 0 ? heavy : load, stance, state, work);
});
bytes["tensions with a following wrench"] = measure(1000, (k) => {
  solveTensions(arm, k % 2 === 0 ? following : load, stance, state, work);
});
const soft = createArm({
  ...arm.description,
  sections: arm.description.sections.map((s) => ({
    ...s,
    rods: s.rods.map((r) => ({ ...r, material: { ...r.material, linearStrain: 2e-3, plateauModulus: 2e9 } })),
  })),
});
const softWork = createRodWork(soft);
const softState = createRodState(soft);
bytes["held, rods past their straight line"] = measure(1000, (k) => {
  solveHeld(soft, load, stance, bends[k % 2] as Float64Array, softState, softWork);
});
// a plate below, a tube, a box and a grid about it, all of them pressed
const bar: Body = {
  name: "bar",
  shape: { kind: "cylinder", radius: 6e-3, length: 0.1 },
  placement: { at: [0.03, -0.05, -0.0132], rotation: [1, 0, 0, 0, 0, 1, 0, -1, 0] },
  touch: { kind: "free" },
};
const grid = createWalls(createSpace([bar]), {
  bodies: [0],
  boxes: Float64Array.of(0, -0.02, -0.03, 0.06, 0.02, 0.02),
  free: Float64Array.of(0.03, 0, 0),
  step: 1.5e-3,
});
const walls = {
  stiffness: 1e4,
  field: {
    walls: [
      { kind: "plane", at: [0, 0, -8.1e-3], normal: [0, 0, 1] },
      { kind: "tube", at: [0, 0, 0], axis: [1, 0, 0], radius: 11e-3 },
      { kind: "box", frame: Float64Array.of(1, 0, 0, 0, 1, 0, 0, 0, 1, 0.06, 0, 18.3e-3), half: [10e-3, 10e-3, 10e-3] },
      ...grid.field.walls,
    ] as Wall[],
  },
};
const leaning: Load = { ...load, walls };
const leaningHeavy: Load = { ...heavy, walls };
// pressed as hard as here, larger steps of the bends would need walls that harden
const closer = [Float64Array.of(0.05, 0.05, -0.05, 0.05), Float64Array.of(0.05, 0.051, -0.05, 0.051)] as const;
const leant = createRodState(arm);
bytes["held among walls"] = measure(
  300,
  (k) => {
    solveHeld(arm, leaning, stance, closer[k % 2] as Float64Array, leant, work);
  },
  500,
);
const touched = createContact(walls, work);
bytes["what presses"] = measure(300, () => readContact(walls, work, touched), 500);
pressing.push(...touched.pressed);
readFreeLengths(arm, leant, work, free);
bytes["locked among walls"] = measure(
  300,
  (k) => {
    solveLocked(arm, k % 2 === 0 ? leaningHeavy : leaning, stance, free, leant, work);
  },
  500,
);
bytes["tensions among walls"] = measure(
  300,
  (k) => {
    solveTensions(arm, k % 2 === 0 ? leaningHeavy : leaning, stance, leant, work);
  },
  500,
);
process.stdout.write(
  JSON.stringify({ bytes, pressing: [0, 1, 2, 3].map((k) => Math.max(...pressing.slice(k * (arm.spans + 2), (k + 1) * (arm.spans + 2)))) }),
);
