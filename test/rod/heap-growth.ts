/** Run by a test in a process of its own, with --expose-gc: prints bytes allocated a solve, by kind, as JSON. */
import { createArm } from "../../src/arm/index.ts";
import {
  createRodState,
  createRodWork,
  heldResponse,
  type Load,
  readFreeLengths,
  solveHeld,
  solveLocked,
  solveTensions,
} from "../../src/rod/index.ts";
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
function measure(calls: number, solve: (k: number) => void): number {
  for (let k = 0; k < 1500; k++) solve(k);
  const collect = (globalThis as { gc?: () => void }).gc as () => void;
  let least = Number.POSITIVE_INFINITY;
  // on a busy machine the compiler comes late: until it has, numbers between calls are boxed
  for (let repeat = 0; repeat < 4 || (repeat < 16 && least > 400); repeat++) {
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
process.stdout.write(JSON.stringify(bytes));
