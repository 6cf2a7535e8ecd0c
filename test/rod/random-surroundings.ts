/** The arms of random-arm.ts with all that they may meet: the same seed gives the same arm and the same of each. */
import { type ArmDescription, createArm } from "../../src/arm/index.ts";
import { createRandom } from "../../src/base/index.ts";
import type { Wall } from "../../src/math/index.ts";
import type { Fluid, Load, Walls } from "../../src/rod/index.ts";
import { type RandomCase, randomCase } from "./random-arm.ts";

/** What is added to the bare arm; each is drawn for most cases, or left out for all. */
export interface Surroundings {
  readonly friction?: boolean;
  readonly fluid?: boolean;
  readonly walls?: boolean;
  /** rods that leave their straight line */
  readonly soft?: boolean;
  /** a clamp or stand that gives every way, each way by itself and together */
  readonly base?: boolean;
  /** bends up to half as much again as the joints' stops leave */
  readonly stops?: boolean;
}

export function roughCase(seed: number, what: Surroundings): RandomCase {
  const bare = randomCase(seed);
  // a stream of its own, and one for each, so that cases without one of them stay what they are
  const draw = (n: number) => {
    const random = createRandom(7919 * (seed + 1) + n);
    return { random, between: (a: number, b: number): number => a + (b - a) * random() };
  };
  const friction = draw(1);
  const spread = (most: number) => {
    const nominal = friction.between(0, most);
    return { low: 0.7 * nominal, nominal, high: 1.4 * nominal };
  };
  let { description } = bare.arm;
  if (what.friction === true) {
    description = { ...description, friction: { holes: spread(0.25), conduit: spread(0.2), conduitTurn: friction.between(0, 3) } };
  }
  if (what.soft === true) description = soften(description, draw(4));
  if (what.base === true) description = { ...description, base: { compliance: randomCompliance(draw(6)) } };
  const arm = createArm(description);
  const further = what.stops === true ? draw(5).between(1, 3) : 1;
  const bend = bare.bend.map((v) => further * v);
  // on a base that gives, at least the last hinge is out: what hangs on an arm that is wholly in its guide is not told apart from the guide's own
  const last = arm.along[arm.spans - 1] as number;
  const stance = what.base === true && bare.stance.exit > last ? { ...bare.stance, exit: last } : bare.stance;
  const fluid = what.fluid === true ? randomFluid(bare, draw(2)) : undefined;
  const walls = what.walls === true ? randomWalls(bare, draw(3)) : undefined;
  const load: Load = { ...bare.load, ...(fluid === undefined ? {} : { fluid }), ...(walls === undefined ? {} : { walls }) };
  return { arm, load, stance, bend };
}

function soften(whole: ArmDescription, { between }: Stream): ArmDescription {
  const limit = between(2e-3, 12e-3);
  const share = between(0.1, 0.5);
  return {
    ...whole,
    sections: whole.sections.map((section) => ({
      ...section,
      rods: section.rods.map((rod) => ({
        ...rod,
        material: { ...rod.material, linearStrain: limit, plateauModulus: share * rod.material.youngModulus },
      })),
    })),
  };
}

/** A sum of six outer products: symmetric, above zero. About 1e-3 rad/(N m) and 1e-5 m/N. */
function randomCompliance({ between }: Stream): number[] {
  const size = [0.03, 0.03, 0.03, 3e-3, 3e-3, 3e-3];
  const rows = Array.from({ length: 6 }, () => size.map((s) => between(-1, 1) * s));
  return Array.from({ length: 36 }, (_, k) =>
    rows.reduce((sum, row) => sum + (row[Math.floor(k / 6)] as number) * (row[k % 6] as number), 0),
  );
}

interface Stream {
  readonly random: () => number;
  between(a: number, b: number): number;
}

function randomFluid({ load, stance }: RandomCase, { random, between }: Stream): Fluid | undefined {
  if (random() < 0.2) return undefined;
  const size = Math.sqrt(load.gravity.reduce((sum, g) => sum + g * g, 0));
  const up = load.gravity.map((g) => -g / size) as unknown as readonly [number, number, number];
  const at = [0, 1, 2].map((k) => (stance.base[9 + k] as number) + between(-0.3, 0.3)) as unknown as readonly [number, number, number];
  const velocity = [between(-1, 1), between(-1, 1), between(-1, 1)] as const;
  return {
    density: between(700, 1100),
    ...(size > 0 && random() < 0.5 ? { surface: { at, up } } : {}),
    ...(random() < 0.5 ? { current: { velocity, dragCoefficient: between(0.8, 1.4) } } : {}),
  };
}

/** A tube about the base's axis, a floor beside it, an end wall, a box: one to three of them. */
function randomWalls({ arm, stance }: RandomCase, { random, between }: Stream): Walls | undefined {
  if (random() < 0.1) return undefined;
  const { base } = stance;
  const width = arm.width[0] as number;
  const length = (arm.along[arm.spans] as number) + arm.description.tool.length;
  type Vector = [number, number, number];
  const turn = (v: readonly number[]): Vector =>
    [0, 1, 2].map((r) => [0, 1, 2].reduce((sum, k) => sum + (base[3 * r + k] as number) * (v[k] as number), 0)) as Vector;
  const place = (v: readonly number[]): Vector => turn(v).map((x, k) => x + (base[9 + k] as number)) as Vector;
  const walls: Wall[] = [];
  if (random() < 0.5) walls.push({ kind: "tube", at: place([0, 0, 0]), axis: turn([0, 0, 1]), radius: between(0.6, 2.5) * width });
  if (random() < 0.5) {
    const way = 2 * Math.PI * random();
    const normal = [Math.cos(way), Math.sin(way), 0];
    const off = between(0.55, 3) * width;
    walls.push({ kind: "plane", at: place(normal.map((v) => -off * v)), normal: turn(normal) });
  }
  if (random() < 0.3) walls.push({ kind: "plane", at: place([0, 0, between(1.02, 1.2) * length]), normal: turn([0, 0, -1]) });
  if (walls.length === 0 || random() < 0.3) {
    const [c, s] = [Math.cos(7 * random()), Math.sin(7 * random())];
    const size = Math.sqrt(c * c + s * s);
    const way = 2 * Math.PI * random();
    const half: Vector = [between(0.3, 1) * width, between(0.3, 1) * width, between(0.3, 1) * width];
    const off = 0.5 * width + 1.8 * Math.max(...half) + between(0, width);
    const at = place([off * Math.cos(way), off * Math.sin(way), between(0.2, 0.9) * length]);
    // turned about the base's axis
    const columns = [turn([c / size, s / size, 0]), turn([-s / size, c / size, 0]), turn([0, 0, 1])];
    const frame = Float64Array.from({ length: 12 }, (_, k) =>
      k < 9 ? ((columns[k % 3] as Vector)[Math.floor(k / 3)] as number) : (at[k - 9] as number),
    );
    walls.push({ kind: "box", frame, half });
  }
  return {
    field: { walls },
    stiffness: 10 ** between(3, 5.5),
    ...(random() < 0.5 ? {} : { friction: { coefficient: between(0, 0.3), way: random() < 0.5 ? ("in" as const) : ("out" as const) } }),
  };
}
