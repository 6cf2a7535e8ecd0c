import { describe, expect, it } from "vitest";
import { createRouteState, createRouteWork, type RouteRequest, readRoute, stepRoute } from "../../src/path/index.ts";
import { bentBore, holedPlate, plainRequest, plateBounds, solve } from "./spaces.ts";

describe("cancel and resume", { timeout: 120_000 }, () => {
  const cases: [string, ReturnType<typeof holedPlate>, RouteRequest][] = [
    ["found", holedPlate(0.014), { ...plainRequest, bounds: plateBounds }],
    ["no passage", holedPlate(0.007), { ...plainRequest, bounds: plateBounds, margin: 0.004 }],
    ["not found", bentBore(0.015, 0.08), { ...plainRequest, target: [0.45, 0, 0.4], aim: [1, 0, 0], bendRadius: 0.112 }],
  ];
  for (const [name, space, request] of cases) {
    it(`a clone with fresh work after every few steps comes to the same bits: ${name}`, () => {
      const whole = solve(space, request);
      for (const every of [1, 17]) {
        let state = createRouteState(request);
        let work = createRouteWork(space);
        let progress = 0;
        for (let step = 1; !state.done; step += 1) {
          stepRoute(space, request, state, work);
          expect(state.progress).toBeGreaterThanOrEqual(progress);
          progress = state.progress;
          // every step of a long search would only copy the octree over and over
          if (step % every !== 0 || step / every > 60) continue;
          state = structuredClone(state);
          work = createRouteWork(space);
        }
        expect(readRoute(space, request, state)).toEqual(whole.route);
      }
      expect(whole.state.progress).toBe(1);
    });
  }
});
