/** Ends about several places, of which any one will do. */
import { expect, test } from "vitest";
import { createRouteState, createRouteWork, type Route, type RouteRequest, readRoute, stepRoute } from "../../src/path/index.ts";
import { type Body, createSpace } from "../../src/space/index.ts";

const identity = { at: [0, 0, 0] as const, rotation: [1, 0, 0, 0, 1, 0, 0, 0, 1] };
const tank: Body = { name: "tank", touch: { kind: "free" }, placement: identity, shape: { kind: "box", size: [0.4, 0.4, 0.4] } };
/** a lid 15 mm above the floor over one half of it */
const lid: Body = {
  name: "lid",
  touch: { kind: "free" },
  placement: { ...identity, at: [-0.1, 0, -0.185] },
  shape: { kind: "box", size: [0.19, 0.39, 0.002] },
};
const about = (x: number) => ({ target: [x, 0, -0.2] as const, aim: [0, 0, -1] as const, cone: 0.1, standOff: [0.005, 0.01] as const });
const request: RouteRequest = {
  start: [0, 0, 0.19],
  startDirection: [0, 0, -1],
  ...about(-0.1),
  endStraight: 0.02,
  radius: 0.006,
  margin: 0.002,
  bendRadius: 0.05,
  length: 0.6,
};

function seek(wanted: RouteRequest): Route {
  const space = createSpace([tank, lid]);
  const state = createRouteState(wanted);
  const work = createRouteWork(space);
  while (!state.done) stepRoute(space, wanted, state, work);
  return readRoute(space, wanted, state);
}

test("under the lid alone there is no room; of three places the one in the open is taken, and said", () => {
  expect(seek(request).status).not.toBe("found");
  const ends = [about(-0.1), about(-0.06), about(0.08)];
  const found = seek({ ...request, ends });
  expect(found.status).toBe("found");
  expect(found.place).toEqual([0.08, 0, -0.2]);
  const curve = found.curve!;
  const k = 3 * (curve.count - 1);
  const to = [0, 1, 2].map((r) => found.place![r]! - curve.point[k + r]!);
  const off = Math.hypot(...to);
  expect(off).toBeGreaterThan(0.005 - 1e-6);
  expect(off).toBeLessThan(0.01 + 1e-6);
  // straight on to the place, within the cone
  for (let r = 0; r < 3; r++) expect(to[r]! / off).toBeCloseTo(curve.tangent[k + r]!, 6);
  expect(Math.acos(-curve.tangent[k + 2]!)).toBeLessThan(0.1 + 1e-6);
});

test("one region is the same as none: the same route to the last bit", () => {
  const plain = { ...request, ...about(0.08) };
  const { place, ...found } = seek({ ...plain, ends: [about(0.08)] });
  expect(place).toEqual([0.08, 0, -0.2]);
  expect(found).toEqual(seek(plain));
});
