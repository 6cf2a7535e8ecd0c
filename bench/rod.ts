/**
 * What a loaded shape costs: `npx tsx bench/rod.ts [--engine]`.
 *
 * Prints, from one run: a warm held solve with the tip's sensitivities at 96 spans and 24 cables (gravity, tip load), with cables that
 * rub and without, with the kernel and in plain code; a cold one; what it allocates; the share of its parts; how the cost grows from 24 to
 * 384 spans of an arm of one length and from 12 to 48 cables (exponents of fits); the independent balance; and the same equilibrium found by a
 * general-purpose rigid-body engine (with --engine 96 spans, else 24). Times are this machine's; shares, ratios and exponents carry over. On
 * a busy machine read the least.
 */
import { setFlagsFromString } from "node:v8";
import { runInNewContext } from "node:vm";
import { type ArmDescription, createArm, type Section } from "../src/arm/index.ts";
import {
  checkBalance,
  copyRodState,
  createRodState,
  createRodWork,
  heldResponse,
  heldTipResponse,
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

/** The 0.96 m arm of eight sections (or fewer), cut into more or fewer spans; what rubs, rubs. */
function armOf(spans: number, sections = 8) {
  const whole = twinArm({ sections, spans: spans / sections });
  const share = 96 / spans;
  const section = (s: Section): Section => ({
    ...s,
    pitch: share * s.pitch,
    flexible: share * s.flexible,
    effectiveLength: share * s.effectiveLength,
    vertebraMass: share * s.vertebraMass,
  });
  const mu = { nominal: 0.12, low: 0.05, high: 0.2 };
  const friction = { holes: mu, conduit: mu, conduitTurn: 1.5 };
  const description: ArmDescription = { ...whole, sections: whole.sections.map(section), friction };
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
  // an even number of them: what goes to and fro goes on
  for (let k = 0; k < 2 * Math.ceil(rounds / 8); k++) call(k);
  return Array.from({ length: rounds }, (_, k) => {
    const start = performance.now();
    call(k);
    return performance.now() - start;
  });
}

interface Warm {
  readonly spans?: number;
  readonly sections?: number;
  /** how far every bend is moved, rad */
  readonly change?: number;
  readonly rounds?: number;
  /** of load and bends */
  readonly share?: number;
  readonly rubs?: boolean;
  readonly plain?: boolean;
  readonly whole?: boolean;
}

/** Warm solves that go to and fro between two sets of bends, each with the motion of the tip (of all vertebrae: `whole`) by bends and roll. */
function warm({ spans = 96, sections = 8, change = 0.005, rounds = 400, share = 1, rubs = false, plain = false, whole = false }: Warm) {
  const arm = armOf(spans, sections);
  const work = createRodWork(arm, { plain });
  const state = createRodState(arm);
  const load = loadOf(spans, share);
  const one = bendOf(0.3 * share).slice(0, 2 * sections);
  const two = one.map((b) => b + change);
  let iterations = 0;
  let solves = 0;
  const cold = solveHeld(arm, load, stance, one, state, work);
  // the way in: most cables were drawn in, some let out
  if (rubs) for (let k = 0; k < state.grip.length; k++) state.grip[k] = k % 3 === 0 ? -1 : 1;
  if (cold.status !== "stable" || solveHeld(arm, load, stance, one, state, work).status !== "stable")
    throw new Error(`${spans}: no balance`);
  const truth = work.frame.slice();
  const solve = (k: number): void => {
    const report = solveHeld(arm, load, stance, k % 2 === 0 ? two : one, state, work);
    if (report.status !== "stable") throw new Error(`${spans} spans: ${report.status}`);
    iterations += report.iterations;
    solves++;
    if (whole) heldResponse(arm, work);
    else heldTipResponse(arm, work);
  };
  const ms = time(rounds, solve);
  const steps = iterations / solves;
  solveHeld(arm, load, stance, one, state, work);
  const apart = truth.reduce((most, v, k) => Math.max(most, Math.abs(v - (work.frame[k] as number))), 0);
  if (!(apart < 1e-8)) throw new Error(`warm and cold shapes differ by ${apart}`);
  return { ms, iterations: steps, bytes: allocation(solve) };
}

/** Bytes a call on the heap, in a stretch without a collection. */
function allocation(call: (k: number) => void): number {
  let least = Number.POSITIVE_INFINITY;
  for (let repeat = 0; repeat < 3; repeat++) {
    collect();
    const before = process.memoryUsage().heapUsed;
    for (let k = 0; k < 400; k++) call(k);
    const grown = process.memoryUsage().heapUsed - before;
    if (grown >= 0) least = Math.min(least, grown / 400);
  }
  return least;
}

/** Exponent of a least-squares fit of times by sizes. */
function exponent(sizes: readonly number[], times: readonly number[]): number {
  const points = sizes.map((n, k) => [Math.log(n), Math.log(times[k] as number)] as const);
  const mean = [0, 1].map((c) => points.reduce((sum, p) => sum + (p[c] as number), 0) / points.length) as [number, number];
  return points.reduce((sum, [x, y]) => sum + (x - mean[0]) * (y - mean[1]), 0) / points.reduce((sum, [x]) => sum + (x - mean[0]) ** 2, 0);
}

setFlagsFromString("--expose-gc");
const collect = runInNewContext("gc") as () => void;

console.log(`Node ${process.version}; eight sections of three cables, twin backbone, 0.96 m, gravity and a load at the tip\n`);

console.log("A warm held solve and the tip's sensitivities (17 columns: 16 bends and the roll), 96 spans, 24 cables:");
for (const [name, options] of [
  ["bends moved by 0.02 rad", { change: 0.02 }],
  ["bends moved by 0.005 rad", {}],
  ["bends moved by 0.001 rad", { change: 0.001 }],
  ["the same, cables rub", { change: 0.001, rubs: true }],
  ["0.005 rad, cables rub", { rubs: true }],
  ["0.02 rad, cables rub", { change: 0.02, rubs: true }],
  ["0.005 rad, all vertebrae's", { whole: true }],
  ["0.005 rad, plain code", { plain: true }],
  ["0.005 rad, plain, rub", { plain: true, rubs: true }],
] as [string, Warm][]) {
  const { ms, iterations, bytes } = warm(options);
  console.log(`  ${name.padEnd(27)} ${say(ms)}, ${iterations.toFixed(1)} steps, ${bytes.toFixed(0)} bytes allocated`);
}

console.log("\nA cold one, from the straight arm, work made before:");
for (const plain of [false, true]) {
  const arm = armOf(96);
  const work = createRodWork(arm, { plain });
  const start = createRodState(arm);
  const ms = time(100, () => void solveHeld(arm, loadOf(96, 1), stance, bendOf(0.3), copyRodState(start), work));
  console.log(`  ${(plain ? "plain code" : "kernel").padEnd(27)} ${say(ms)}`);
}
{
  const arm = armOf(96);
  console.log(`  to make the work            ${say(time(40, () => void createRodWork(arm)))}`);
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
    ["sensitivities of the tip", () => heldTipResponse(arm, work)],
    ["sensitivities of all vertebrae", () => heldResponse(arm, work)],
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
for (const rubs of [false, true]) {
  const least = sizes.map((spans) => {
    const { ms, iterations } = warm({ spans, rubs, rounds: spans > 100 ? 100 : 300, share: 1 / 3 });
    const quick = Math.min(...ms);
    console.log(
      `  ${String(spans).padStart(3)} spans${rubs ? ", cables rub" : ""}: ${say(ms)}, ${iterations.toFixed(1)} steps, at least ${((1e3 * quick) / spans).toFixed(1)} us a span`,
    );
    return quick;
  });
  console.log(`  exponent fitted to the least times ${exponent(sizes, least).toFixed(2)}`);
}

console.log("\nGrowth with the cables, 96 spans, bends moved by 0.005 rad:");
{
  const counts = [2, 4, 8];
  const least = counts.map((sections) => {
    const { ms, iterations } = warm({ sections, share: 1 / 3, rounds: 300 });
    console.log(`  ${String(3 * sections).padStart(3)} cables, ${sections} sections: ${say(ms)}, ${iterations.toFixed(1)} steps`);
    return Math.min(...ms);
  });
  console.log(`  exponent fitted to the least times ${exponent(counts, least).toFixed(2)}`);
}

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
