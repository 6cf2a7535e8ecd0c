/**
 * What leaning costs: `npx tsx bench/contact.ts [seed]`.
 *
 * Prints, from one run: shapes held hard against a gap hardly wider than the arm (a straight tube, two plates, a bent bore as a grid),
 * each started from the shape that follows the gap: how many are found, steps and times, and the largest moment that a second computation of
 * the balance leaves; the same warm, bends moved a little; and what a warm solve costs with walls over one without.
 */
import { type ArmModel, createArm } from "../src/arm/index.ts";
import { createRandom } from "../src/base/index.ts";
import type { DistanceField } from "../src/math/index.ts";
import {
  checkBalance,
  createRodState,
  createRodWork,
  type Load,
  type RodState,
  type RodWork,
  type Stance,
  solveHeld,
} from "../src/rod/index.ts";
import { createSpace, createWalls } from "../src/space/index.ts";
import { stanceAlongX } from "../test/rod/arms.ts";
import { twinArm } from "../test/rod/twin.ts";

const seed = Number(process.argv[2] ?? 5);
const cases = 80;
const hard = process.argv.includes("--hard") ? 2.5 : 1;

/** rad over the arm */
const bentBy = 0.3;

interface Gap {
  readonly field: (radius: number, length: number, exit: number) => DistanceField;
  /** turn of the gap over the arm, rad, about the world's z */
  readonly turn: number;
}

/** A bore, straight to the guide's exit, from where it bends evenly. */
function bentBore(radius: number, length: number, exit: number): DistanceField {
  const bend = (length - exit) / bentBy;
  const turn = 1.3 * bentBy;
  const half = bend * Math.tan(turn / 2);
  const body = {
    name: "bore",
    touch: { kind: "free" as const },
    placement: { at: [0, 0, 0] as const, rotation: [1, 0, 0, 0, 1, 0, 0, 0, 1] },
    shape: {
      kind: "bore" as const,
      points: [
        { at: [-0.1, 0, 0] as const, radius, bend: 0 },
        { at: [exit + half, 0, 0] as const, radius, bend },
        { at: [exit + half + (half + 0.05) * Math.cos(turn), (half + 0.05) * Math.sin(turn), 0] as const, radius, bend: 0 },
      ],
    },
  };
  const free: number[] = [];
  const boxes: number[] = [];
  for (let s = 0; s < length - exit + 0.035; s += 5e-3) {
    const [x, y] = [exit + bend * Math.sin(s / bend), bend * (1 - Math.cos(s / bend))];
    free.push(x, y, 0);
    boxes.push(x - 0.016, y - 0.016, -0.016, x + 0.016, y + 0.016, 0.016);
  }
  return createWalls(createSpace([body]), { bodies: [0], boxes: Float64Array.from(boxes), free: Float64Array.from(free), step: 1.5e-3 })
    .field;
}

const gaps: Record<string, Gap> = {
  "a straight tube": { turn: 0, field: (radius) => ({ walls: [{ kind: "tube", at: [0, 0, 0], axis: [1, 0, 0], radius }] }) },
  "a gap between plates": {
    turn: 0,
    field: (radius) => ({
      walls: [
        { kind: "plane", at: [0, 0, -radius], normal: [0, 0, 1] },
        { kind: "plane", at: [0, 0, radius], normal: [0, 0, -1] },
      ],
    }),
  },
  "a bent bore, as a grid": { turn: bentBy, field: bentBore },
};

/** Solves the shape that follows a bend of the gap, without walls, and adds that bend to what is asked. */
function follow(arm: ArmModel, stance: Stance, turn: number, bend: Float64Array, state: RodState, work: RodWork): void {
  const along = new Float64Array(2 * arm.sections);
  // arm's x is up, its z along the world's x: a turn about the world's z is one about its own x
  for (let j = 0; j < arm.sections; j++) along[2 * j] = turn / arm.sections;
  solveHeld(arm, { gravity: [0, 0, 0], forces: [] }, stance, along, state, work);
  for (let k = 0; k < bend.length; k++) bend[k] = (bend[k] as number) + (along[k] as number);
}

function at(values: readonly number[], share: number): string {
  const sorted = [...values].sort((a, b) => a - b);
  return sorted.length === 0 ? "none" : (sorted[Math.floor(share * (sorted.length - 1))] as number).toPrecision(3);
}

for (const [name, gap] of Object.entries(gaps)) {
  const random = createRandom(seed);
  const between = (a: number, b: number): number => a + (b - a) * random();
  const times: number[] = [];
  const steps: number[] = [];
  const warm: number[] = [];
  const bare: number[] = [];
  const failed: Record<string, number> = {};
  const slow: number[] = [];
  let worst = 0;
  let push = 0;
  let warmFailed = 0;
  for (let n = 0; n < cases; n++) {
    const arm = createArm(twinArm({ sections: 1 + Math.floor(4 * random()), spans: 4 + Math.floor(6 * random()) }));
    const stance = stanceAlongX(between(0, 0.03));
    const radius = between(8.2e-3, 9.2e-3);
    const field = gap.field(radius, arm.along[arm.spans] as number, stance.exit);
    const load: Load = { gravity: [0, 0, -9.81], forces: [], walls: { field, stiffness: 10 ** between(4, 5) } };
    const bend = Float64Array.from({ length: 2 * arm.sections }, () => hard * between(-0.08, 0.08));
    const work = createRodWork(arm);
    const state: RodState = createRodState(arm);
    if (gap.turn > 0) follow(arm, stance, gap.turn, bend, state, work);
    let t = performance.now();
    const report = solveHeld(arm, load, stance, bend, state, work);
    const took = performance.now() - t;
    times.push(took);
    steps.push(report.iterations);
    if (report.status !== "stable" && report.status !== "slack") {
      const { status } = report;
      failed[status] = (failed[status] ?? 0) + 1;
      slow.push(took);
      if (process.argv.includes("--list")) console.log(n, arm.sections, arm.spans, radius.toFixed(5), report, took.toFixed(0));
      continue;
    }
    worst = Math.max(worst, checkBalance(arm, load, stance, state));
    push = Math.max(push, ...work.pressed);
    const near = bend.map((value) => 1.01 * value);
    t = performance.now();
    if (solveHeld(arm, load, stance, near, state, work).status === "not-converged") warmFailed++;
    warm.push(performance.now() - t);
    const free = createRodState(arm);
    if (gap.turn > 0) free.strain.set(state.strain);
    solveHeld(arm, { gravity: load.gravity, forces: [] }, stance, bend, free, work);
    t = performance.now();
    solveHeld(arm, { gravity: load.gravity, forces: [] }, stance, near, free, work);
    bare.push(performance.now() - t);
  }
  const lost = Object.entries(failed).map(([status, count]) => `${count} ${status}`);
  console.log(
    `held in ${name} (${cases} arms, seed ${seed}): ${lost.length === 0 ? "all found" : lost.join(", ")}, pushes to ${push.toFixed(0)} N, unbalance at most ${worst.toExponential(1)} N m`,
  );
  console.log(
    `  cold: ${at(steps, 0.5)} steps (nine of ten below ${at(steps, 0.9)}), ${at(times, 0.5)} ms (${at(times, 0.9)}, worst ${at(times, 1)}); those not found took ${at(slow, 0.5)} ms`,
  );
  console.log(`  warm: ${at(warm, 0.5)} ms (${at(warm, 0.9)}), ${warmFailed} not found; without walls ${at(bare, 0.5)} ms`);
}
