/**
 * Random spaces of drawn bodies: every route found is looked at again apart from what found it, ten times finer, with exact distances; every
 * proof that there is none is set against a plain flood over a uniform grid.
 */
import { describe, expect, it } from "vitest";
import { createRandom } from "../../src/base/index.ts";
import type { RouteRequest } from "../../src/path/index.ts";
import { type Body, createSpace, createSpaceAnswer, createSpaceWork, type SpaceModel, sampleSpace } from "../../src/space/index.ts";
import { body, faultsOf, plainRequest, solve } from "./spaces.ts";

const cases = process.env["WITHY_SOAK"] === "1" ? 2000 : 120;
const seed = 20;
/** Of the flood, m. */
const gridStep = 0.005;
const bounds = [-0.12, -0.12, 0, 0.12, 0.12, 0.3] as const;

/** A box with some posts, balls, rings and plates with holes in it, to be crossed from its floor to its ceiling. */
function draw(random: () => number): { bodies: Body[]; request: RouteRequest } {
  const between = (low: number, high: number): number => low + (high - low) * random();
  const bodies: Body[] = [];
  const many = 1 + Math.floor(4 * random());
  for (let i = 0; i < many; i += 1) {
    const z = between(0.06, 0.2);
    const kind = Math.floor(5 * random());
    const at: [number, number, number] = [between(-0.08, 0.08), between(-0.08, 0.08), z];
    const turn = between(0, Math.PI);
    const [c, s] = [Math.cos(turn), Math.sin(turn)];
    if (kind === 0) {
      // a bar lying across: its own z along (c, s, 0)
      const rotation = [-s, 0, c, c, 0, s, 0, 1, 0];
      const middle: [number, number, number] = [at[0] - 0.2 * c, at[1] - 0.2 * s, z];
      bodies.push(body(`bar ${i}`, { kind: "cylinder", radius: between(0.005, 0.03), length: 0.4 }, middle, rotation));
    } else if (kind === 1) bodies.push(body(`ring ${i}`, { kind: "ring", radius: between(0.02, 0.06), bar: between(0.003, 0.01) }, at));
    else if (kind === 2) {
      const size = [between(0.02, 0.12), between(0.02, 0.12), between(0.005, 0.04)] as const;
      bodies.push(body(`box ${i}`, { kind: "box", size }, at, [c, -s, 0, s, c, 0, 0, 0, 1]));
    } else if (kind === 3) {
      // wider than the box by far: the hole is the only way on
      const shape = { kind: "plate", size: [1, 1], thickness: between(0.002, 0.02), holeRadius: between(0.004, 0.03) } as const;
      bodies.push(body(`plate ${i}`, shape, [at[0] / 2, at[1] / 2, z]));
    } else {
      const places = Array.from({ length: 4 }, (_, k) => [0.05 * (k - 1.5), 0] as const);
      bodies.push(body(`tubes ${i}`, { kind: "tubes", radius: between(0.005, 0.018), length: 0.3, places }, [at[0], -0.15, z], lying));
    }
  }
  return {
    bodies,
    request: { ...plainRequest, radius: 0.01, margin: 0.004, target: [0, 0, 0.29], bounds, bendRadius: 0.08, cone: 0.6, length: 0.6 },
  };
}
const lying = [1, 0, 0, 0, 0, 1, 0, -1, 0];

/**
 * Whether places of a grid with a free radius of `least` lead, each a neighbour of the one before, from the start to one of the goals.
 * Neighbours are at most a space diagonal apart, so that between them the radius is less by no more than half of that.
 */
function floods(space: SpaceModel, start: readonly number[], goals: readonly (readonly number[])[], step: number, least: number): boolean {
  // off the fence, which the search takes as a convenience and not as a wall
  const off = 0.016;
  const low = [bounds[0] + off, bounds[1] + off, start[2]!];
  const n = [0, 1, 2].map((k) => Math.floor((bounds[k + 3]! - off - low[k]!) / step) + 1);
  const total = n[0]! * n[1]! * n[2]!;
  const points = new Float64Array(3 * total);
  for (let i = 0; i < total; i += 1) {
    points[3 * i] = low[0]! + step * (i % n[0]!);
    points[3 * i + 1] = low[1]! + step * (Math.floor(i / n[0]!) % n[1]!);
    points[3 * i + 2] = low[2]! + step * Math.floor(i / (n[0]! * n[1]!));
  }
  const answer = createSpaceAnswer(total);
  sampleSpace(space, points, total, 2 * least, answer, createSpaceWork(space));
  const near = (i: number, p: readonly number[]): boolean =>
    Math.hypot(points[3 * i]! - p[0]!, points[3 * i + 1]! - p[1]!, points[3 * i + 2]! - p[2]!) <= 0.87 * step;
  const mark = new Uint8Array(total);
  const open: number[] = [];
  for (let i = 0; i < total; i += 1) {
    if (answer.distance[i]! < least || !near(i, start)) continue;
    mark[i] = 1;
    open.push(i);
  }
  while (open.length > 0) {
    const i = open.pop()!;
    if (goals.some((goal) => near(i, goal))) return true;
    const [x, y, z] = [i % n[0]!, Math.floor(i / n[0]!) % n[1]!, Math.floor(i / (n[0]! * n[1]!))];
    for (let k = 0; k < 27; k += 1) {
      const [p, q, r] = [x + (k % 3) - 1, y + (Math.floor(k / 3) % 3) - 1, z + Math.floor(k / 9) - 1];
      if (p < 0 || q < 0 || r < 0 || p >= n[0]! || q >= n[1]! || r >= n[2]!) continue;
      const j = p + n[0]! * (q + n[1]! * r);
      if (mark[j] === 1 || answer.distance[j]! < least) continue;
      mark[j] = 1;
      open.push(j);
    }
  }
  return false;
}

describe("random spaces", { timeout: 3_600_000 }, () => {
  it(`${cases} of them: what is found holds, what is proven is so (seed ${seed})`, () => {
    const random = createRandom(seed);
    const count = { found: 0, walled: 0, ends: 0, open: 0, seen: 0 };
    for (let k = 0; k < cases; k += 1) {
      const { bodies, request } = draw(random);
      const space = createSpace(bodies);
      const { route, state } = solve(space, { ...request, explain: false });
      const told = `case ${k}: ${bodies.map(({ name }) => name).join(", ")}`;
      const need = request.radius + request.margin;
      const start = [request.start[0], request.start[1], request.start[2] + state.throat];
      const goals = state.goals.map(({ point }) => point);
      if (route.status === "found") {
        count.found += 1;
        expect(faultsOf(space, request, route), told).toEqual([]);
        // the flood is no empty check: with the room it can be sure of, it comes through most of the spaces that have a route
        if (k % 10 === 0 && floods(space, start, goals, gridStep, need)) count.seen += 1;
      } else if (route.status === "no-passage" && goals.length > 0) {
        count.walled += 1;
        expect(floods(space, start, goals, gridStep, need + 0.87 * gridStep), told).toBe(false);
      } else if (route.status === "no-passage") count.ends += 1;
      else count.open += 1;
    }
    // all kinds come up, and most are decided
    expect(count.found).toBeGreaterThan(0.3 * cases);
    expect(count.walled).toBeGreaterThan(0.03 * cases);
    expect(count.open).toBeLessThan(0.3 * cases);
    expect(count.seen).toBeGreaterThan(0.01 * cases);
  });
});
