/**
 * What a loaded shape costs: `npx tsx bench/rod.ts [--engine]`.
 *
 * Prints, from one run: a warm held solve with its sensitivities at 96 spans and 24 cables (gravity, tip load), by how far the bends
 * moved; the share of its parts; how the cost grows from 24 to 384 spans of an arm of one length (exponent of a fit); the
 * independent balance; and the same equilibrium found by a general-purpose rigid-body engine (with --engine 96 spans, else 24).
 * Times are this machine's; shares, ratios and the exponent carry over.
 */
import { type ArmDescription, createArm, type Section } from "../src/arm/index.ts";
import {
  checkBalance,
  copyRodState,
  createRodState,
  createRodWork,
  heldResponse,
  type Load,
  type Stance,
  setStance,
  solveHeld,
  solveTensions,
} from "../src/rod/index.ts";
import { applyLoads } from "../src/rod/loads.ts";
import { placeArm } from "../src/rod/place.ts";
import { countUnstable } from "../src/rod/stability.ts";
import { factorTangent } from "../src/rod/sweep.ts";
import { settleInEngine } from "../test/rod/engine.ts";
import { twinArm } from "../test/rod/twin.ts";

const stance: Stance = { base: Float64Array.of(0, 0, 1, 0, -1, 0, 1, 0, 0, 0, 0, 0), exit: 0 };
const bendOf = (size: number): Float64Array => Float64Array.from({ length: 16 }, (_, k) => size * Math.sin(1.3 * k));
const loadOf = (spans: number, share: number): Load => ({
  gravity: [0, 0, -9.81 * share],
  forces: [{ vertebra: spans, force: [0.2 * share, 0.3 * share, 0.1 * share], at: [0, 0, 0] }],
});

/** The 0.96 m arm of eight sections and 24 cables, cut into more or fewer spans. */
function armOf(spans: number) {
  const whole = twinArm({ sections: 8, spans: spans / 8 });
  const share = 96 / spans;
  const section = (s: Section): Section => ({
    ...s,
    pitch: share * s.pitch,
    flexible: share * s.flexible,
    effectiveLength: share * s.effectiveLength,
    vertebraMass: share * s.vertebraMass,
  });
  const description: ArmDescription = { ...whole, sections: whole.sections.map(section) };
  return createArm(description);
}

function median(values: readonly number[]): number {
  return [...values].sort((a, b) => a - b)[Math.floor(values.length / 2)] as number;
}

function say(ms: readonly number[]): string {
  const sorted = [...ms].sort((a, b) => a - b);
  const at = (share: number): string => (sorted[Math.floor(share * (sorted.length - 1))] as number).toFixed(3);
  return `${at(0.5)} ms (least ${at(0)}, quarters ${at(0.25)} and ${at(0.75)})`;
}

function time(rounds: number, call: (k: number) => void): number[] {
  for (let k = 0; k < rounds / 4; k++) call(k);
  return Array.from({ length: rounds }, (_, k) => {
    const start = performance.now();
    call(k);
    return performance.now() - start;
  });
}

/** Warm solves that go to and fro between two sets of bends. */
function warm(spans: number, change: number, rounds: number, share = 1): { ms: number[]; iterations: number } {
  const arm = armOf(spans);
  const work = createRodWork(arm);
  const state = createRodState(arm);
  const load = loadOf(spans, share);
  const one = bendOf(0.3 * share);
  const two = one.map((b) => b + change);
  let iterations = 0;
  let solves = 0;
  const cold = solveHeld(arm, load, stance, one, state, work);
  if (cold.status !== "stable") throw new Error(`${spans} spans: ${cold.status}`);
  const truth = work.frame.slice();
  const ms = time(rounds, (k) => {
    iterations += solveHeld(arm, load, stance, k % 2 === 0 ? two : one, state, work).iterations;
    solves++;
    heldResponse(arm, work);
  });
  solveHeld(arm, load, stance, one, state, work);
  const apart = truth.reduce((most, v, k) => Math.max(most, Math.abs(v - (work.frame[k] as number))), 0);
  if (!(apart < 1e-9)) throw new Error(`warm and cold shapes differ by ${apart}`);
  return { ms, iterations: iterations / solves };
}

console.log(`Node ${process.version}; eight sections of three cables, twin backbone, 0.96 m, gravity and a load at the tip\n`);

console.log("A warm held solve and its sensitivities (17 columns: 16 bends and the roll), 96 spans:");
for (const change of [0.02, 0.005, 0.001]) {
  const { ms, iterations } = warm(96, change, 400);
  console.log(`  every bend moved by ${String(change).padEnd(5)} rad: ${say(ms)}, ${iterations.toFixed(1)} steps`);
}

console.log("\nIts parts, one call each, 96 spans:");
{
  const arm = armOf(96);
  const work = createRodWork(arm);
  const state = createRodState(arm);
  const load = loadOf(96, 1);
  const bend = bendOf(0.3);
  solveHeld(arm, load, stance, bend, state, work);
  setStance(arm, stance, work);
  const parts: [string, () => void][] = [
    ["frames, cable lengths and rates", () => placeArm(arm, state.strain, work)],
    ["loads", () => applyLoads(arm, load, work)],
    ["tangent factored", () => factorTangent(arm, state.strain, state.tension, false, work)],
    ["stability with the drives locked", () => void countUnstable(arm, state.tension, work)],
    ["sensitivities", () => heldResponse(arm, work)],
  ];
  const whole = median(time(200, () => void solveHeld(arm, load, stance, bend, state, work)));
  for (const [name, call] of parts) {
    const ms = time(200, call);
    console.log(`  ${name.padEnd(34)} ${say(ms)}`);
  }
  console.log(`  a solve that is there already      ${whole.toFixed(3)} ms (one step, the check, the stability)`);
  console.log(`  independent balance                ${say(time(60, () => void checkBalance(arm, load, stance, state)))}`);
}

console.log(
  "\nGrowth with the spans, the same arm cut finer, a third of load and bends (few long spans twist easily), bends moved by 0.005 rad:",
);
const sizes = [24, 48, 96, 192, 384];
const least: number[] = [];
for (const spans of sizes) {
  const { ms, iterations } = warm(spans, 0.005, spans > 100 ? 100 : 300, 1 / 3);
  least.push(Math.min(...ms));
  console.log(
    `  ${String(spans).padStart(3)} spans: ${say(ms)}, ${iterations.toFixed(1)} steps, at least ${((1e3 * Math.min(...ms)) / spans).toFixed(1)} us a span`,
  );
}
const logs = sizes.map((n, k) => [Math.log(n), Math.log(least[k] as number)] as const);
const mean = [0, 1].map((c) => logs.reduce((sum, p) => sum + (p[c] as number), 0) / logs.length) as [number, number];
const slope = logs.reduce((sum, [x, y]) => sum + (x - mean[0]) * (y - mean[1]), 0) / logs.reduce((sum, [x]) => sum + (x - mean[0]) ** 2, 0);
console.log(`  exponent fitted to the least times ${slope.toFixed(2)}`);

console.log("\nThe same equilibrium, tensions given, by a rigid-body engine that settles it (rods on the axis, axial strain locked):");
{
  const sections = process.argv.includes("--engine") ? 8 : 2;
  const single = twinArm({ sections, spans: 12, single: true, tool: 0.02 });
  const stiff = single.sections.map(
    (s): Section => ({ ...s, vertebraMass: 3e-3, rods: s.rods.map((rod) => ({ ...rod, diameter: 2e-3 })) }),
  );
  const arm = createArm({ ...single, sections: stiff }, { lock: ["axial"] });
  const load: Load = { gravity: [1, 6, -7.7], forces: [] };
  const up: Stance = { base: Float64Array.of(1, 0, 0, 0, 1, 0, 0, 0, 1, 0, 0, 0), exit: 0 };
  const tension = Float64Array.from({ length: arm.cables }, (_, c) => 5 + 15 * ((c * 7) % 3));
  const work = createRodWork(arm);
  const start = createRodState(arm);
  start.tension.set(tension);
  let status = "";
  const own = time(100, () => {
    const state = copyRodState(start);
    status = solveTensions(arm, load, up, state, work).status;
  });
  const from = performance.now();
  const engine = await settleInEngine(arm, load, tension, 60);
  const theirs = performance.now() - from;
  const tip = 12 * arm.spans + 9;
  const apart = Math.hypot(...[0, 1, 2].map((r) => (work.frame[tip + r] as number) - (engine.place[3 * arm.spans + r] as number)));
  const share = apart / (arm.along[arm.spans] as number);
  console.log(`  ${arm.spans} spans, ${arm.cables} cables, from straight: own ${say(own)}, ${status}`);
  console.log(
    `  engine ${theirs.toFixed(0)} ms, ${engine.steps} steps of ${(theirs / engine.steps).toFixed(2)} ms, still moving at ${engine.residual.toExponential(1)} rad/s`,
  );
  console.log(`  ratio ${(theirs / median(own)).toFixed(0)}x; tips ${(100 * share).toFixed(2)} % of the length apart`);
  if (!(share < 0.01)) process.exitCode = 1;
}
