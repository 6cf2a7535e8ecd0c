/** What bench/browser.ts runs in the browser's worker and in Node: the same bundle. */
import { createArm } from "../src/arm/index.ts";
import { createRodState, createRodWork, heldTipResponse, type Load, solveHeld } from "../src/rod/index.ts";
import { twinArm } from "../test/rod/twin.ts";

const spans = 96;
const arm = createArm(twinArm({ sections: 8, spans: spans / 8 }));
const stance = { base: Float64Array.of(0, 0, 1, 0, -1, 0, 1, 0, 0, 0, 0, 0), exit: 0 };
const load: Load = { gravity: [0, 0, -9.81], forces: [{ vertebra: spans, force: [0.2, 0.3, 0.1], at: [0, 0, 0] }] };
const one = Float64Array.from({ length: 16 }, (_, k) => 0.3 * Math.sin(1.3 * k));
const two = one.map((b) => b + 0.005);
const work = createRodWork(arm);
const state = createRodState(arm);

/** @returns ms a solve with the tip's sensitivities, the tip's place, and whether the kernel runs */
export function solveRound(solves: number): { ms: number; tip: number[]; kernel: boolean } {
  const start = performance.now();
  for (let k = 0; k < solves; k++) {
    if (solveHeld(arm, load, stance, k % 2 === 0 ? two : one, state, work).status !== "stable") throw new Error("no balance");
    heldTipResponse(arm, work);
  }
  const ms = (performance.now() - start) / solves;
  return { ms, tip: [...work.frame.slice(12 * spans + 9)], kernel: work.kernel !== undefined };
}
