import { describe, expect, it } from "vitest";
import type { RouteRequest } from "../../src/path/index.ts";
import { createSpace, type Shape } from "../../src/space/index.ts";
import { bentBore, body, faultsOf, holedPlate, plainRequest, plateBounds, post, postBounds, solve, straightBore } from "./spaces.ts";

const need = plainRequest.radius + plainRequest.margin;
const round: RouteRequest = { ...plainRequest, target: [0.45, 0, 0.4], aim: [1, 0, 0] };

describe("routes that exist", { timeout: 120_000 }, () => {
  it("a straight bore gives a straight curve on its axis", () => {
    const space = straightBore(0.015);
    const { route } = solve(space, plainRequest);
    expect(route.status).toBe("found");
    expect(faultsOf(space, plainRequest, route)).toEqual([]);
    const { curve } = route;
    expect(Math.max(...curve!.curvature) * plainRequest.bendRadius).toBeLessThan(0.02);
    // shortest conceivable: from the exit to the far end of the stand-off
    const { length } = curve!.arc;
    expect(curve!.arc[length - 1]).toBeGreaterThanOrEqual(0.45 - 1e-9);
    expect(curve!.arc[length - 1]).toBeLessThan(0.4705);
  });

  it("a bore round a corner of 200 mm is followed with less bending than its centre line", () => {
    const space = bentBore(0.015, 0.2);
    const { route } = solve(space, round);
    expect(route.status).toBe("found");
    expect(faultsOf(space, round, route)).toEqual([]);
    const { arc, curvature, count } = route.curve!;
    let turned = 0;
    let bending = 0;
    for (let i = 1; i < count; i += 1) {
      turned += 0.5 * (curvature[i]! + curvature[i - 1]!) * (arc[i]! - arc[i - 1]!);
      bending += 0.5 * (curvature[i]! ** 2 + curvature[i - 1]! ** 2) * (arc[i]! - arc[i - 1]!);
    }
    // total curvature of a curve is at least the angle between its ends (Fenchel); the end may lean by the cone
    expect(turned).toBeGreaterThan(Math.PI / 2 - round.cone - 1e-6);
    // bending energy of the centre line, an arc of a right angle: (pi / 2) / R
    expect(bending).toBeLessThan(Math.PI / 2 / 0.2);
    expect(Math.max(...curvature)).toBeLessThan(1.1 / 0.2);
  });

  it("a bore with a tenth of a millimetre to spare is still found", () => {
    const space = bentBore(need + 1e-4, 0.2);
    const { route } = solve(space, round);
    expect(route.status).toBe("found");
    expect(faultsOf(space, round, route)).toEqual([]);
    // nothing but the centre line fits: its bend is the only one
    expect(Math.max(...route.curve!.curvature)).toBeGreaterThan(0.9 / 0.2);
  });

  it("in the throat of a port that just holds it, the body goes straight; its margin is asked for from there on", () => {
    const throat = createSpace([
      body("cover", { kind: "plate", size: [0.3, 0.3], thickness: 0.02, holeRadius: 0.0085 }),
      body("wall", { kind: "box", size: [0.3, 0.3, 0.02] }, [0.1, 0, 0.51]),
    ]);
    const request: RouteRequest = { ...plainRequest, target: [0.1, 0, 0.5], bounds: [-0.14, -0.14, 0, 0.14, 0.14, 0.51] };
    const { route } = solve(throat, request);
    expect(route.status).toBe("found");
    const { arc, point, distance, count } = route.curve!;
    for (let i = 0; i < count; i += 1) {
      // the hole's rim is at z = 20 mm: from the axis, the full room is there from this height on
      if (arc[i]! + 0.01 > 0.02 + Math.sqrt((1.03 * need) ** 2 - 0.0085 ** 2) + need / 16) expect(distance[i]).toBeGreaterThanOrEqual(need);
      else expect(Math.hypot(point[3 * i]!, point[3 * i + 1]!)).toBeLessThan(1e-9);
    }
    const thick = solve(throat, { ...request, radius: 0.009 }).route;
    expect(thick.obstacles[0]!.kind).toBe("start");
    expect(thick.obstacles[0]!.is).toBeCloseTo(0.0085, 9);
  });

  it("two rooms joined by a hole: the curve goes through it", () => {
    const space = holedPlate(0.014);
    const request = { ...plainRequest, bounds: plateBounds };
    const { route } = solve(space, request);
    expect(route.status).toBe("found");
    expect(faultsOf(space, request, route)).toEqual([]);
    const { point, count } = route.curve!;
    for (let i = 0; i < count; i += 1) {
      if (Math.abs(point[3 * i + 2]! - 0.255) > 0.005) continue;
      const off = Math.hypot(point[3 * i]! - 0.05, point[3 * i + 1]!);
      expect(off).toBeLessThanOrEqual(0.014 - need + 1e-5);
    }
  });

  it("past a post", () => {
    const space = post(0.05);
    const request = { ...plainRequest, bounds: postBounds };
    const { route } = solve(space, request);
    expect(route.status).toBe("found");
    expect(faultsOf(space, request, route)).toEqual([]);
  });

  it("back up from below: a half turn before a target that looks down", () => {
    const space = createSpace([body("shelf", { kind: "box", size: [0.3, 0.3, 0.01] }, [0, 0, 0.25])]);
    const request: RouteRequest = {
      ...plainRequest,
      start: [-0.22, 0, 0.45],
      startDirection: [0, 0, -1],
      target: [0, 0, 0.245],
      standOff: [0.04, 0.08],
      cone: 0.5,
      bendRadius: 0.06,
    };
    const { route } = solve(space, request);
    expect(route.status).toBe("found");
    expect(faultsOf(space, request, route)).toEqual([]);
  });

  it("the end keeps to its cone and its stand-off, and points at the target", () => {
    const space = createSpace([body("wall", { kind: "box", size: [0.5, 0.5, 0.02] }, [0, 0, 0.51])]);
    for (const cone of [0, 0.1, 0.8]) {
      const request: RouteRequest = {
        ...plainRequest,
        aim: [Math.sin(0.6), 0, Math.cos(0.6)],
        cone,
        bounds: [-0.3, -0.3, -0.02, 0.3, 0.3, 0.5],
      };
      const { route } = solve(space, request);
      expect(route.status, `cone ${cone}`).toBe("found");
      expect(faultsOf(space, request, route)).toEqual([]);
      const { point, tangent, count } = route.curve!;
      const last = 3 * (count - 1);
      const away = Math.hypot(request.target[0] - point[last]!, request.target[1] - point[last + 1]!, request.target[2] - point[last + 2]!);
      for (let k = 0; k < 3; k += 1) expect(point[last + k]! + away * tangent[last + k]!).toBeCloseTo(request.target[k]!, 9);
    }
  });

  it("a probe may touch the wall that it faces", () => {
    const space = createSpace([body("wall", { kind: "box", size: [0.3, 0.3, 0.02] }, [0, 0, 0.51])]);
    const request: RouteRequest = { ...plainRequest, standOff: [0, 0.001], cone: 0.1 };
    const { route } = solve(space, request);
    expect(route.status).toBe("found");
    expect(faultsOf(space, request, route)).toEqual([]);
  });

  it("keeps the stand-off of a body that must not be touched", () => {
    const pillar: Shape = { kind: "cylinder", radius: 0.03, length: 0.6 };
    const lying = [1, 0, 0, 0, 0, 1, 0, -1, 0];
    const kept = { ...body("hot pipe", pillar, [0, -0.3, 0.25], lying), touch: { kind: "never", standOff: 0.02 } as const };
    const space = createSpace([kept]);
    const request = { ...plainRequest, bounds: postBounds };
    const { route } = solve(space, request);
    expect(route.status).toBe("found");
    const { point, count } = route.curve!;
    // distance to the pipe's axis, by itself
    for (let i = 0; i < count; i += 1)
      expect(Math.hypot(point[3 * i]!, point[3 * i + 2]! - 0.25)).toBeGreaterThanOrEqual(0.03 + 0.02 + need - 1e-9);
  });
});

describe("routes that do not", { timeout: 120_000 }, () => {
  it("a hole that is too small is the narrowest place, by its width and name", () => {
    const space = holedPlate(0.007);
    const { route } = solve(space, { ...plainRequest, bounds: plateBounds });
    expect(route.status).toBe("no-passage");
    const [narrow] = route.obstacles;
    expect(narrow!.kind).toBe("narrow");
    expect(Math.abs(narrow!.is - 0.007)).toBeLessThan(0.1 * route.resolution);
    expect(narrow!.needed).toBeCloseTo(need, 12);
    expect(Math.hypot(narrow!.place[0] - 0.05, narrow!.place[1])).toBeLessThan(route.resolution);
    expect(narrow!.says).toContain('"plate"');
    expect(narrow!.says).toContain("7.0 mm");
  });

  it("the same hole lets a thinner body through", () => {
    const space = holedPlate(0.007);
    const request = { ...plainRequest, radius: 0.004, margin: 0.001, bounds: plateBounds };
    const { route } = solve(space, request);
    expect(route.status).toBe("found");
    expect(faultsOf(space, request, route)).toEqual([]);
  });

  it("a hole half a millimetre too small is no passage either", () => {
    const { route } = solve(holedPlate(need - 5e-4), { ...plainRequest, bounds: plateBounds });
    expect(route.status).not.toBe("found");
    expect(route.obstacles[0]!.kind).toBe("narrow");
    expect(Math.abs(route.obstacles[0]!.is - (need - 5e-4))).toBeLessThan(0.1 * route.resolution);
  });

  it("a sheet 0.1 mm thick is a wall", () => {
    const space = createSpace([body("sheet", { kind: "box", size: [0.4, 0.4, 1e-4] }, [0.05, 0, 0.25])]);
    const { route } = solve(space, { ...plainRequest, bounds: plateBounds });
    expect(route.status).toBe("no-passage");
    expect(route.obstacles[0]!.kind).toBe("unreached");
    expect(route.obstacles[0]!.says).toContain('"sheet"');
  });

  it("a mesh with a pinhole is a wall for a body that is thicker", () => {
    const { route } = solve(createSpace([body("scan", pinholed(0.0005))]), { ...plainRequest, bounds: plateBounds });
    expect(route.status).toBe("no-passage");
    const wide = { ...plainRequest, bounds: plateBounds };
    expect(solve(createSpace([body("scan", pinholed(0.015))]), wide).route.status).toBe("found");
  });

  it("an arm that is too short is told what is missing", () => {
    const { route } = solve(straightBore(0.015), { ...plainRequest, length: 0.3 });
    expect(route.status).toBe("not-found");
    const [missing] = route.obstacles;
    expect(missing!.kind).toBe("length");
    expect(missing!.needed).toBe(0.3);
    expect(missing!.is).toBeGreaterThanOrEqual(0.45 - 1e-6);
    expect(missing!.is).toBeLessThan(0.4705);
  });

  it("a bend that is too sharp is told by its place and by the gentlest curve there is", () => {
    // widest arc through a right-angled corner of centre-line radius R with d to spare either side (outside, inside, outside):
    // R' = R + d (1 + c) / (1 - c), c = cos 45 degrees (elementary geometry)
    const c = Math.SQRT1_2;
    const gentlest = 0.08 + (0.005 * (1 + c)) / (1 - c);
    const { route } = solve(bentBore(0.015, 0.08), round);
    expect(route.status).toBe("not-found");
    const [bend] = route.obstacles;
    expect(bend!.kind).toBe("bend");
    expect(bend!.needed).toBe(round.bendRadius);
    expect(bend!.is).toBeLessThan(1.005 * gentlest);
    expect(bend!.is).toBeGreaterThan(0.93 * gentlest);
    expect(Math.hypot(bend!.place[0] - 0.04, bend!.place[2] - 0.36)).toBeLessThan(0.12);
    expect(bend!.says).toContain("120.0 mm");
  });

  it("a blocked port, a target in a wall and one outside are named", () => {
    const plug = createSpace([
      body("plug", { kind: "box", size: [0.016, 0.016, 0.016] }, [0, 0, 0.01]),
      body("far", { kind: "box", size: [0.1, 0.1, 0.1] }, [0, 0, 0.6]),
    ]);
    expect(solve(plug, plainRequest).route.obstacles[0]!.kind).toBe("start");
    const buried = createSpace([body("block", { kind: "box", size: [0.3, 0.3, 0.2] }, [0, 0, 0.5])]);
    const inBlock = solve(buried, { ...plainRequest, standOff: [0.09, 0.1] }).route;
    expect(inBlock.status).not.toBe("found");
    expect(inBlock.obstacles[0]!.kind).toBe("target");
    const outside = solve(straightBore(0.015), { ...plainRequest, target: [0, 0, 500] }).route;
    expect(outside.obstacles[0]!.kind).toBe("target");
    expect(outside.obstacles[0]!.says).toContain("outside the space");
  });
});

/** A square sheet of triangles at z = 0.25 with a square hole of the given half-width in the middle. */
function pinholed(half: number): Shape {
  const far = 0.25;
  const ring = (r: number): number[][] =>
    [
      [-r, -r],
      [r, -r],
      [r, r],
      [-r, r],
    ].map(([x, y]) => [0.03 + x!, y!, 0.25]);
  const inner = ring(half);
  const outer = ring(far);
  const corners: number[] = [];
  for (let i = 0; i < 4; i += 1) {
    const j = (i + 1) % 4;
    corners.push(...inner[i]!, ...outer[i]!, ...outer[j]!, ...inner[i]!, ...outer[j]!, ...inner[j]!);
  }
  return { kind: "mesh", corners: Float64Array.from(corners), unit: 1 };
}
