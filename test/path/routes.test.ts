/** Routes that are not one another disturbed. */
import { describe, expect, it } from "vitest";
import {
  createRoutesState,
  createRouteWork,
  measureRoute,
  type RouteOffer,
  type RouteRequest,
  type RoutesState,
  stepRoutes,
} from "../../src/path/index.ts";
import { wayLength } from "../../src/path/smooth-model.ts";
import { createSweep, stepSweep } from "../../src/path/sweep-ways.ts";
import { sweepTaut, tautStart, tautSweeps } from "../../src/path/tauten-way.ts";
import { type Body, createSpace, type SpaceModel } from "../../src/space/index.ts";
import { body, faultsOf, plainRequest, postBounds } from "./spaces.ts";

const need = plainRequest.radius + plainRequest.margin;
const lying = [1, 0, 0, 0, 0, 1, 0, -1, 0];

function offersOf(space: SpaceModel, request: RouteRequest, most: number): { found: RouteOffer[]; state: RoutesState } {
  const state = createRoutesState(request);
  const work = createRouteWork(space);
  for (let step = 0; !state.done; step += 1) {
    if (step > 50_000) throw new Error("the search does not end");
    stepRoutes(space, request, most, state, work);
  }
  return { found: state.offers.filter(({ route }) => route.status === "found"), state };
}

/** A post along y through the whole of the searched box. */
const postAt = (name: string, radius: number, x: number, z: number): Body =>
  body(name, { kind: "cylinder", radius, length: 0.6 }, [x, -0.3, z], lying);

/** On which side of the line x = `x` a curve passes the height z. */
function sideAt({ route }: RouteOffer, x: number, z: number): number {
  const { point, count } = route.curve!;
  let best = 0;
  for (let i = 1; i < count; i += 1) if (Math.abs(point[3 * i + 2]! - z) < Math.abs(point[3 * best + 2]! - z)) best = i;
  return Math.sign(point[3 * best]! - x);
}

describe("several routes", { timeout: 120_000 }, () => {
  it("round either side of a shaft: two, each as long as a string round it, and a third is ruled out", () => {
    const [radius, x] = [0.04, 0.015];
    const space = createSpace([postAt("shaft", radius, x, 0.25)]);
    const request: RouteRequest = { ...plainRequest, bounds: postBounds, cone: 0, standOff: [0.03, 0.03] };
    const { found, state } = offersOf(space, request, 3);
    expect(found.length).toBe(2);
    expect(found.map((offer) => sideAt(offer, x, 0.25)).sort()).toEqual([-1, 1]);
    // nothing is left that keeps off the cut beside the shaft: a proof at the resolution searched
    expect(state.none).toBeGreaterThan(0);
    const work = createRouteWork(space);
    for (const offer of found) {
      expect(faultsOf(space, request, offer.route)).toEqual([]);
      const taut = tautStart(offer.way, need);
      for (let sweep = 0; sweep < tautSweeps; sweep += 1) sweepTaut(space, taut, need, sweep, work);
      // a string round a circle of radius p from a to b: two tangents and an arc (elementary geometry); on the far side of the
      // shaft it turns by the rest of the angle between a and b
      const p = radius + need;
      const [a, b] = [offer.way.slice(0, 3), offer.way.slice(-3)];
      const reach = (q: readonly number[]): number => Math.hypot(q[0]! - x, q[2]! - 0.25);
      const angle = (q: readonly number[]): number => Math.atan2(q[0]! - x, q[2]! - 0.25);
      const between = Math.abs(angle(a) - angle(b));
      const near = Math.min(between, 2 * Math.PI - between);
      // both ends lie to the left of the shaft's middle: the left way is the near one
      const seen = sideAt(offer, x, 0.25) < 0 ? near : 2 * Math.PI - near;
      const turn = seen - Math.acos(p / reach(a)) - Math.acos(p / reach(b));
      const exact = Math.sqrt(reach(a) ** 2 - p * p) + Math.sqrt(reach(b) ** 2 - p * p) + p * turn;
      // the sweeps leave it 0.1 % too long at each of the two places where the string lifts off; pieces are shorter than the arc by less
      expect(Math.abs(wayLength(taut) / exact - 1)).toBeLessThan(3e-3);
      expect(offer.route.curve!.arc[offer.route.curve!.count - 1]!).toBeGreaterThan(exact);
    }
  });

  it("through a ring and beside it; nothing more beside it", () => {
    const space = createSpace([body("ring", { kind: "ring", radius: 0.05, bar: 0.01 }, [0.03, 0, 0.25])]);
    const request = { ...plainRequest, bounds: postBounds };
    const { found } = offersOf(space, request, 4);
    const through = found.map(({ route }) => {
      const { point, count } = route.curve!;
      let best = 0;
      for (let i = 1; i < count; i += 1) if (Math.abs(point[3 * i + 2]! - 0.25) < Math.abs(point[3 * best + 2]! - 0.25)) best = i;
      return Math.hypot(point[3 * best]! - 0.03, point[3 * best + 1]!) < 0.05;
    });
    expect(through.filter((one) => one).length).toBe(1);
    expect(through.filter((one) => !one).length).toBeGreaterThanOrEqual(1);
    // beside a ring there is but one way round; a way on its far side may be told as another (see the decision), never more
    expect(found.length).toBeLessThanOrEqual(3);
  });

  it("left of two posts, between them, right of them", () => {
    const space = createSpace([postAt("left post", 0.02, 0, 0.2), postAt("right post", 0.02, 0.06, 0.3)]);
    const request = { ...plainRequest, bounds: postBounds };
    const { found } = offersOf(space, request, 4);
    const sides = found.map((offer) => `${sideAt(offer, 0, 0.2)} ${sideAt(offer, 0.06, 0.3)}`);
    expect(new Set(sides).size).toBe(found.length);
    expect(sides).toContain("-1 -1");
    expect(sides).toContain("1 -1");
    expect(sides).toContain("1 1");
    for (const { route } of found) expect(faultsOf(space, request, route)).toEqual([]);
  });

  it("in a bore and in an empty room there is one", () => {
    const bore = createSpace([
      body("bore", {
        kind: "bore",
        points: [
          { at: [0, 0, 0], radius: 0.02, bend: 0 },
          { at: [0, 0, 0.6], radius: 0.02, bend: 0 },
        ],
      }),
    ]);
    expect(offersOf(bore, plainRequest, 4).found.length).toBe(1);
    const room = createSpace([body("wall", { kind: "box", size: [0.5, 0.5, 0.02] }, [0, 0, 0.51])]);
    expect(offersOf(room, { ...plainRequest, bounds: [-0.3, -0.3, -0.02, 0.3, 0.3, 0.5] }, 4).found.length).toBe(1);
  });

  it("in the throat of a port, narrower than the room it keeps elsewhere, a route is still one with itself", () => {
    const throat = createSpace([
      body("cover", { kind: "plate", size: [0.3, 0.3], thickness: 0.02, holeRadius: 0.0085 }),
      body("wall", { kind: "box", size: [0.3, 0.3, 0.02] }, [0.1, 0, 0.51]),
    ]);
    const request: RouteRequest = { ...plainRequest, target: [0.1, 0, 0.5], bounds: [-0.14, -0.14, 0, 0.14, 0.14, 0.51] };
    const points = [...offersOf(throat, request, 1).found[0]!.route.curve!.point];
    const work = createRouteWork(throat);
    const same = createSweep(points, points, need);
    while (same.phase === 0) stepSweep(throat, need, 100, same, work);
    expect(same.phase).toBe(1);
    // and not with one that goes round outside the cover
    const outside = createSweep(points, [...points.slice(0, 3), 0.4, 0, 0, 0.4, 0, 0.3, ...points.slice(-3)], need);
    while (outside.phase === 0) stepSweep(throat, need, 100, outside, work);
    expect(outside.phase).toBe(2);
  });

  it("measures: the gap it goes through, half as wide as the posts are apart, and what makes it", () => {
    const space = createSpace([postAt("left post", 0.02, -0.035, 0.25), postAt("right post", 0.02, 0.035, 0.25)]);
    const request = { ...plainRequest, bounds: [-0.05, -0.15, -0.1, 0.05, 0.15, 0.6] };
    const { found } = offersOf(space, request, 1);
    const work = createRouteWork(space);
    const { passage, clearance, length, bend } = measureRoute(space, request, found[0]!.route.curve!, work);
    // to what its search ends at: a thousandth of its first step, a quarter of the need
    expect(Math.abs(passage.free - 0.015)).toBeLessThan(5e-6);
    expect(Math.hypot(passage.place[0], passage.place[2] - 0.25)).toBeLessThan(1e-3);
    expect(clearance).toBeLessThanOrEqual(0.015 - request.radius + 1e-9);
    expect(length).toBeGreaterThan(0.45 - 1e-9);
    expect(bend).toBeGreaterThan(1);
  });

  it("goes on from a clone to the same routes", () => {
    const space = createSpace([postAt("shaft", 0.04, 0.015, 0.25)]);
    const request = { ...plainRequest, bounds: postBounds };
    const whole = offersOf(space, request, 2).state;
    let state = createRoutesState(request);
    for (let step = 0; !state.done; step += 1) {
      if (step % 97 === 0) state = structuredClone(state);
      stepRoutes(space, request, 2, state, createRouteWork(space));
    }
    expect(state.offers.map(({ route }) => route.curve)).toEqual(whole.offers.map(({ route }) => route.curve));
  });
});
