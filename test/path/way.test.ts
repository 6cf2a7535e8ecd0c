import { describe, expect, it } from "vitest";
import { createRouteWork } from "../../src/path/index.ts";
import { wayLength } from "../../src/path/smooth-model.ts";
import { sweepTaut, tautStart, tautSweeps } from "../../src/path/tauten-way.ts";
import { distance, plainRequest, post, postBounds, solve } from "./spaces.ts";

describe("the way before it is bent", { timeout: 120_000 }, () => {
  // A string round a circle of radius p from two points a and b from its centre, seen from it under the angle w:
  // two tangents and an arc, sqrt(a^2 - p^2) + sqrt(b^2 - p^2) + p (w - acos(p / a) - acos(p / b)) (elementary geometry).
  it("pulled taut it has the length of a string round the post", () => {
    const request = { ...plainRequest, bounds: postBounds, cone: 0, standOff: [0.03, 0.03] as const };
    for (const radius of [0.03, 0.05, 0.08]) {
      const space = post(radius);
      const { state, route } = solve(space, request);
      expect(route.status).toBe("found");
      const way = state.way;
      const end = way.slice(-3);
      const need = request.radius + request.margin;
      const taut = tautStart(way, need);
      const work = createRouteWork(space);
      for (let sweep = 0; sweep < tautSweeps; sweep += 1) sweepTaut(space, taut, need, sweep, work);
      const p = radius + need;
      const centre = [0, 0, 0.25];
      const a = distance([request.start[0], 0, request.start[2]], centre);
      const b = distance([end[0]!, 0, end[2]!], centre);
      const turn = Math.PI - Math.acos(p / a) - Math.acos(p / b);
      const exact = Math.sqrt(a * a - p * p) + Math.sqrt(b * b - p * p) + p * turn;
      // straight pieces h = 5 mm long are shorter than the arc by h^2 / (24 p^2) of it: at most 7e-4; the sweeps leave
      // it 0.1 % too long where the string lifts off
      expect(Math.abs(wayLength(taut) / exact - 1)).toBeLessThan(2e-3);
      // any-angle over the octree: no staircase (which would be up to 1.7 times as long); the liking for room costs some
      expect(wayLength(way) / exact).toBeGreaterThan(0.999);
      expect(wayLength(way) / exact).toBeLessThan(1.15);
    }
  });
});
