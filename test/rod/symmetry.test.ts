/**
 * What must not matter: which hand the world has, how it is turned, in which order cables and forces are listed. Random arms with rubbing
 * cables, in fluid, among walls, by all three closures.
 *
 * Two runs differ by rounding, which a solve passes on times the condition of its balance: they stop within 1e-8 rad of it, and what that
 * step leaves is its square. Shapes that are not stable are compared by their status alone, and nothing is solved on from them: what is near
 * buckling amplifies without bound, and the disturbance that leads out of it has a hand.
 */
import { describe, expect, test } from "vitest";
import { type ArmDescription, createArm } from "../../src/arm/index.ts";
import { createRandom } from "../../src/base/index.ts";
import type { Wall } from "../../src/math/index.ts";
import {
  copyRodState,
  createRodState,
  createRodWork,
  type Load,
  type RodState,
  type RodWork,
  readFreeLengths,
  type SolveReport,
  slideCables,
  solveHeld,
  solveLocked,
  solveTensions,
} from "../../src/rod/index.ts";
import type { RandomCase } from "./random-arm.ts";
import { randomTurn } from "./random-arm.ts";
import { roughCase } from "./random-surroundings.ts";

type Vector = readonly [number, number, number];
/** [9] row-major */
type Matrix = readonly number[];

interface Outcome {
  readonly name: string;
  readonly report: SolveReport;
  readonly state: RodState;
  readonly work: RodWork;
}

/** Held, held again once the cables have slid, its lengths locked under a third more gravity, its tensions under the first load. */
function solveAll({ arm, load, stance, bend }: RandomCase): Outcome[] {
  const work = createRodWork(arm);
  const state = createRodState(arm);
  const outcomes: Outcome[] = [];
  const add = (name: string, report: SolveReport, at: RodState): boolean => {
    outcomes.push({ name, report, state: copyRodState(at), work: structuredClone(work) });
    return report.status === "stable" || report.status === "slack";
  };
  if (!add("held", solveHeld(arm, load, stance, bend, state, work), state)) return outcomes;
  slideCables(arm, state, work);
  if (!add("slid", solveHeld(arm, load, stance, bend, state, work), state)) return outcomes;
  const free = new Float64Array(arm.cables);
  readFreeLengths(arm, state, work, free);
  const more: Load = { ...load, gravity: load.gravity.map((g) => (4 / 3) * g) as unknown as Vector };
  const locked = copyRodState(state);
  add("locked", solveLocked(arm, more, stance, free, locked, work), locked);
  add("tensions", solveTensions(arm, load, stance, state, work, { escape: false }), state);
  return outcomes;
}

function times(m: Matrix, v: Vector): [number, number, number] {
  return [0, 1, 2].map((r) => (m[3 * r] as number) * v[0] + (m[3 * r + 1] as number) * v[1] + (m[3 * r + 2] as number) * v[2]) as [
    number,
    number,
    number,
  ];
}

/** World places and directions of a load and its surroundings taken through maps of each. */
function moveLoad(load: Load, way: (v: Vector) => Vector, place: (v: Vector) => Vector, spin: (v: Vector) => Vector): Load {
  const { fluid, walls } = load;
  return {
    ...load,
    gravity: way(load.gravity),
    forces: load.forces.map((point) => ({ ...point, force: way(point.force) })),
    ...(load.moment === undefined ? {} : { moment: spin(load.moment) }),
    ...(fluid === undefined
      ? {}
      : {
          fluid: {
            ...fluid,
            ...(fluid.surface === undefined ? {} : { surface: { at: place(fluid.surface.at), up: way(fluid.surface.up) } }),
            ...(fluid.current === undefined ? {} : { current: { ...fluid.current, velocity: way(fluid.current.velocity) } }),
          },
        }),
    ...(walls === undefined ? {} : { walls: { ...walls, field: { walls: walls.field.walls.map((wall) => moveWall(wall, way, place)) } } }),
  };
}

function moveWall(wall: Wall, way: (v: Vector) => Vector, place: (v: Vector) => Vector): Wall {
  if (wall.kind === "plane") return { ...wall, at: place(wall.at), normal: way(wall.normal) };
  if (wall.kind === "tube") return { ...wall, at: place(wall.at), axis: way(wall.axis) };
  if (wall.kind !== "box") throw new Error(`no way to move a wall of kind ${wall.kind}`);
  const { frame } = wall;
  // a box in a mirror is a box: its axes may change their sign
  const axes = [0, 1, 2].map((k) => way([frame[k] as number, frame[3 + k] as number, frame[6 + k] as number]));
  const at = place([frame[9] as number, frame[10] as number, frame[11] as number]);
  const moved = Float64Array.from({ length: 12 }, (_, k) => (k < 9 ? (axes[k % 3] as Vector)[Math.floor(k / 3)] : at[k - 9]) as number);
  return { ...wall, frame: moved };
}

/** rad, share of a tension, m: see above; walls of 3e5 N/m among joints of 1 N m/rad have conditions of 1e5 and more. */
const allowed = { turn: 1e-7, tension: 1e-6, place: 1e-7 };

/** Compares two runs; strains of the other are taken back by `back`, its cables by `order`, its places by `place`. */
function compare(
  seed: number,
  one: Outcome[],
  other: Outcome[],
  arm: RandomCase["arm"],
  back: (strain: readonly number[]) => readonly number[],
  order: (cable: number) => number,
  place: (v: Vector) => Vector,
): number {
  let compared = 0;
  expect(other.map(({ name, report }) => `${seed} ${name} ${report.status}`)).toEqual(
    one.map(({ name, report }) => `${seed} ${name} ${report.status}`),
  );
  one.forEach(({ name, report, state, work }, n) => {
    const { state: seen, work: seenWork } = other[n] as Outcome;
    if (report.status !== "stable" && report.status !== "slack") return;
    compared++;
    let turn = 0;
    let pull = 0;
    let apart = 0;
    for (let i = work.firstFree; i < arm.spans; i++) {
      const strain = back([0, 1, 2, 3].map((k) => seen.strain[4 * i + k] as number));
      const length = work.flexible[i] as number;
      for (let k = 0; k < 4; k++)
        turn = Math.max(turn, (k < 3 ? length : 1) * Math.abs((strain[k] as number) - (state.strain[4 * i + k] as number)));
    }
    for (let c = 0; c < arm.cables; c++)
      pull = Math.max(
        pull,
        Math.abs((seen.tension[order(c)] as number) - (state.tension[c] as number)) / (1 + (state.tension[c] as number)),
      );
    for (let i = 0; i <= arm.spans; i++) {
      const at = place([9, 10, 11].map((k) => work.frame[12 * i + k] as number) as unknown as Vector);
      at.forEach((v, k) => {
        apart = Math.max(apart, Math.abs(v - (seenWork.frame[12 * i + 9 + k] as number)));
      });
    }
    expect([seed, name, turn < allowed.turn, pull < allowed.tension, apart < allowed.place, turn, pull, apart]).toEqual([
      seed,
      name,
      true,
      true,
      true,
      turn,
      pull,
      apart,
    ]);
  });
  return compared;
}

const kinds = [
  [
    "rubbing cables in fluid, on a base that gives, soft rods, stops",
    { friction: true, fluid: true, base: true, soft: true, stops: true },
    20,
  ],
  ["and among walls", { friction: true, fluid: true, walls: true }, 8],
] as const;

describe.each(kinds)("%s", (_, what, count) => {
  const seeds = Array.from({ length: count }, (_, k) => 5000 + k);

  test("the world in a mirror that holds the base's axis: the mirrored arm takes the mirrored shape", { timeout: 60_000 }, () => {
    let compared = 0;
    for (const seed of seeds) {
      const whole = roughCase(seed, what);
      const { arm, load, stance, bend } = whole;
      // rims have corners at twelfths of a turn: a mirror at a multiple of a twenty-fourth leaves them where they are
      const angle = (Math.PI / 12) * (seed % 24);
      const [c, s] = [Math.cos(2 * angle), Math.sin(2 * angle)];
      const local = ([x, y, z]: Vector): [number, number, number] => [c * x + s * y, s * x - c * y, z];
      const localSpin = (v: Vector): [number, number, number] => local(v).map((w) => -w) as [number, number, number];
      // in the world: into the base's axes, mirrored, and back
      const { base } = stance;
      const transposed = [0, 1, 2].flatMap((r) => [0, 1, 2].map((k) => base[3 * k + r] as number));
      const turn = Array.from(base.subarray(0, 9));
      const way = (v: Vector): [number, number, number] => times(turn, local(times(transposed, v)));
      const spin = (v: Vector): [number, number, number] => way(v).map((w) => -w) as [number, number, number];
      const place = (v: Vector): [number, number, number] => {
        const from = v.map((w, k) => w - (base[9 + k] as number)) as unknown as Vector;
        return way(from).map((w, k) => w + (base[9 + k] as number)) as [number, number, number];
      };
      const moved = moveLoad(load, way, place, spin);
      const f = load.following;
      const mirrored: Load = {
        ...moved,
        forces: moved.forces.map((point) => ({ ...point, at: local(point.at) })),
        ...(f === undefined ? {} : { following: [...localSpin([f[0], f[1], f[2]]), ...local([f[3], f[4], f[5]])] as typeof f }),
      };
      const other: RandomCase = {
        arm: createArm(mirrorArm(arm.description, angle, local)),
        load: mirrored,
        stance,
        bend: Float64Array.from(bend, (_, k) => localSpin([bend[k & ~1] as number, bend[k | 1] as number, 0])[k & 1] as number),
      };
      const back = ([x, y, z, e]: readonly number[]): number[] => [...localSpin([x as number, y as number, z as number]), e as number];
      compared += compare(seed, solveAll(whole), solveAll(other), arm, back, (cable) => cable, place);
    }
    expect(compared).toBeGreaterThan(3 * count);
  });

  test("the world turned and moved: the same arm takes the same shape", { timeout: 60_000 }, () => {
    let compared = 0;
    for (const seed of seeds) {
      const whole = roughCase(seed, what);
      const random = createRandom(seed);
      const r = randomTurn(random);
      const shift = [0, 1, 2].map(() => 2 * random() - 1);
      const way = (v: Vector): [number, number, number] => times(r, v);
      const place = (v: Vector): [number, number, number] => way(v).map((w, k) => w + (shift[k] as number)) as [number, number, number];
      const { base } = whole.stance;
      const axes = [0, 1, 2].map((k) => way([base[k] as number, base[3 + k] as number, base[6 + k] as number]));
      const at = place([base[9] as number, base[10] as number, base[11] as number]);
      const frame = Float64Array.from({ length: 12 }, (_, k) => (k < 9 ? (axes[k % 3] as Vector)[Math.floor(k / 3)] : at[k - 9]) as number);
      const other: RandomCase = { ...whole, load: moveLoad(whole.load, way, place, way), stance: { ...whole.stance, base: frame } };
      const same = (strain: readonly number[]): readonly number[] => strain;
      compared += compare(seed, solveAll(whole), solveAll(other), whole.arm, same, (cable) => cable, place);
    }
    expect(compared).toBeGreaterThan(3 * count);
  });

  test("each section's cables, its rods and all forces listed backwards: the same shape, the same tensions", { timeout: 60_000 }, () => {
    let compared = 0;
    for (const seed of seeds) {
      const whole = roughCase(seed, what);
      const { arm } = whole;
      const { description } = arm;
      const sections = description.sections.map((section) => ({
        ...section,
        cableAngles: section.cableAngles.toReversed(),
        rods: section.rods.toReversed(),
        hoses: section.hoses.toReversed(),
      }));
      const walls = whole.load.walls;
      const other: RandomCase = {
        ...whole,
        arm: createArm({ ...description, sections }),
        load: {
          ...whole.load,
          forces: whole.load.forces.toReversed(),
          ...(walls === undefined ? {} : { walls: { ...walls, field: { walls: walls.field.walls.toReversed() } } }),
        },
      };
      const order = (cable: number): number => {
        const j = arm.sectionOfCable[cable] as number;
        return (arm.firstCable[j] as number) + (arm.firstCable[j + 1] as number) - 1 - cable;
      };
      const same = (strain: readonly number[]): readonly number[] => strain;
      compared += compare(seed, solveAll(whole), solveAll(other), arm, same, order, (v) => v);
    }
    expect(compared).toBeGreaterThan(3 * count);
  });
});

/** Pairs that turn by a quarter from vertebra to vertebra are the same turned by half a turn: a mirror leaves them such. */
function mirrorArm(whole: ArmDescription, angle: number, local: (v: Vector) => Vector): ArmDescription {
  return {
    ...whole,
    sections: whole.sections.map((section) => ({
      ...section,
      cableAngles: section.cableAngles.map((a) => 2 * angle - a),
      rods: section.rods.map((rod) => {
        const [x, y] = local([rod.x, rod.y, 0]);
        return { ...rod, x, y };
      }),
    })),
    tool: { ...whole.tool, centre: local(whole.tool.centre) },
    ...(whole.base === undefined ? {} : { base: { ...whole.base, compliance: mirrorCompliance(whole.base.compliance ?? [], local) } }),
  };
}

/** [36] in a mirror: translations are flipped with it, turns the other way. */
function mirrorCompliance(compliance: readonly number[], local: (v: Vector) => Vector): number[] {
  const image = (row: readonly number[]): number[] => {
    const [a, b, c, d, e, f] = row as [number, number, number, number, number, number];
    return [...local([a, b, c]).map((v) => -v), ...local([d, e, f])];
  };
  const rows = [0, 1, 2, 3, 4, 5].map((r) => image(compliance.slice(6 * r, 6 * r + 6)));
  const columns = [0, 1, 2, 3, 4, 5].map((k) => image(rows.map((row) => row[k] as number)));
  return [0, 1, 2, 3, 4, 5].flatMap((r) => columns.map((column) => column[r] as number));
}
