import fc from "fast-check";
import { describe, expect, test } from "vitest";
import { createRandom } from "../../src/base/index.ts";
import { countMesh } from "../../src/formats/index.ts";
import { type Body, createSpace, drawBody, type Shape } from "../../src/space/index.ts";
import { ask, bodyOf, distanceTo, meshOf, more, placed } from "./bodies.ts";

type Point = readonly [number, number, number];

/** Rounding of a few operations on numbers below 1 m. */
const rounding = 2e-15;

const tee: Shape = { kind: "tee", runRadius: 0.05, runLength: 0.4, branchRadius: 0.03, branchLength: 0.2, angle: Math.PI / 2 };
const equal: Shape = { kind: "tee", runRadius: 0.05, runLength: 0.4, branchRadius: 0.05, branchLength: 0.2, angle: Math.PI / 2 };
const vane: Shape = { kind: "vanes", row: "straight", count: 1, chord: 0.1, thickness: 0.02, span: 0.3, stagger: 0, camber: 0, pitch: 0, radius: 0 }; // biome-ignore format: one row

describe("distances worked out by hand", () => {
  const cases: readonly (readonly [string, Shape, Point, number])[] = [
    ["bend: on its centre line", { kind: "bend", bendRadius: 0.2, boreRadius: 0.05, angle: Math.PI / 2 }, [0.2 * (1 - Math.SQRT1_2), 0, 0.2 * Math.SQRT1_2], 0.05],
    ["bend: at its own centre", { kind: "bend", bendRadius: 0.2, boreRadius: 0.05, angle: Math.PI / 2 }, [0.2, 0, 0], 0.15],
    ["bend: before its open end, 3-4-5", { kind: "bend", bendRadius: 0.2, boreRadius: 0.03, angle: 1 }, [0, 0, -0.04], 0.05],
    ["bend of 270 degrees: on its centre line at 225", { kind: "bend", bendRadius: 0.2, boreRadius: 0.05, angle: 1.5 * Math.PI }, [0.2 * (1 + Math.SQRT1_2), 0, -0.2 * Math.SQRT1_2], 0.05],
    // slope 3-4-5: the wall from its axis at z = 0.075, as in closed-forms.test.ts
    ["reducer", { kind: "reducer", radii: [0.1, 0.4], length: 0.4 }, [0, 0, 0.075], 0.8 * (0.1 + 0.75 * 0.075)],
    ["annulus: half way between shaft and casing", { kind: "annulus", innerRadius: 0.03, outerRadius: 0.05, length: 0.2 }, [0.04, 0, 0.1], 0.01],
    ["annulus: before the shaft's solid end", { kind: "annulus", innerRadius: 0.03, outerRadius: 0.05, length: 0.2 }, [0.01, 0.01, -0.02], 0.02],
    ["sphere, from outside", { kind: "sphere", radius: 0.1 }, [0.2, 0.2, 0.1], 0.2],
    ["sphere, from its middle", { kind: "sphere", radius: 0.1 }, [0, 0, 0], 0.1],
    ["tee: on the run's axis, away from the branch", tee, [0, 0, 0.15], 0.05],
    ["tee: in the branch's axis, outside the run", tee, [0.12, 0, 0], 0.03],
    // the rim holds (sqrt(0.05^2 - 0.03^2), 0.03, 0) = (0.04, 0.03, 0): 3-4-5
    ["tee: at the mouth, the rim's flank is nearest", tee, [0.04, 0, 0], 0.03],
    ["tee: from the crossing of the axes, the flank again", tee, [0, 0, 0], 0.05],
    // behind the branch the whole run is wall
    ["tee: opposite the branch", tee, [-0.02, 0, 0], 0.03],
    // equal bores meet in two half ellipses through (0, 0.05, 0) and (0.05, 0, 0.05)
    ["equal tee: from the crossing of the axes", equal, [0, 0, 0], 0.05],
    ["equal tee: above its corner", equal, [0.1, 0, 0.1], 0.05],
    ["equal tee: 45 degrees off the corner, on the outside", equal, [0.05 + 0.03, 0, 0.05 + 0.03], 0.03],
    ["equal tee: inwards of its corner", equal, [0.02, 0, 0.01], Math.hypot(0.03, 0.04)],
    ["vane: beside its flat", vane, [0.05, 0.01, 0.1], 0.04],
    ["vane: before its round edge", vane, [0, 0.08, 0.1], 0.03],
    ["vane: off its square end", vane, [0, 0, -0.04], 0.04],
    ["vane: off the end's edge, 3-4-5", vane, [0.04, 0, -0.04], 0.05],
    ["vane: in its middle", vane, [0, 0, 0.15], 0.01],
  ]; // biome-ignore format: a table
  test.each(cases)("%s", (name, shape, point, distance) => {
    const found = distanceTo(shape, point);
    // inwards of the corner the two half ellipses' flanks may be nearer than the corner itself
    if (name.includes("inwards")) expect(found).toBeLessThanOrEqual(distance + rounding);
    else expect(Math.abs(found - distance)).toBeLessThan(rounding);
  });

  test("equal cylinders meet in plane ellipses of half axes r and r sqrt 2: their points are on the surface, and the way between them is open", () => {
    const points: number[] = [];
    for (let k = 0; k < 40; k++) {
      const angle = (2 * Math.PI * k) / 40 + 0.01;
      points.push(0.05 * Math.abs(Math.sin(angle)), 0.05 * Math.cos(angle), 0.05 * Math.sin(angle));
    }
    for (const d of ask([bodyOf(equal)], points).distance) expect(d).toBeLessThan(1e-9);
    // where the wall of the run would be in the mouth of the branch
    expect(distanceTo(equal, [0.05, 0, 0])).toBeGreaterThan(0.045);
  });
});

describe.each(Object.entries(more))("%s", (name, shape) => {
  const body = bodyOf(shape, placed(0.4, 1.1, -2, [0.2, -0.1, 0.3]));
  const drawn = drawBody(body);
  const space = createSpace([body]);

  test("against its triangles through the tree, seed 12", () => {
    const random = createRandom(12);
    const points: number[] = [];
    for (let k = 0; k < 2000; k++) {
      for (let i = 0; i < 3; i++) {
        const size = space.bounds[3 + i]! - space.bounds[i]!;
        points.push(space.bounds[i]! + size * (1.6 * random() - 0.3));
      }
    }
    const { distance, closest } = ask([body], points);
    const triangles = ask([meshOf(drawn)], points).distance;
    let worst = 0;
    for (let k = 0; k < 2000; k++) {
      worst = Math.max(worst, Math.abs(triangles[k]! - distance[k]!));
      const to = Math.hypot(
        closest[3 * k]! - points[3 * k]!,
        closest[3 * k + 1]! - points[3 * k + 1]!,
        closest[3 * k + 2]! - points[3 * k + 2]!,
      );
      expect(Math.abs(to - distance[k]!)).toBeLessThan(1e-14);
    }
    // drawn surfaces leave the true ones by no more than this
    expect(worst).toBeLessThan(0.2e-3);
  });

  test("corners of its triangles lie on it; solids are closed; it reaches as far as the space says", () => {
    for (const d of ask([body], drawn).distance) expect(d).toBeLessThan(2e-9);
    const { flat, doubled, open } = countMesh(drawn);
    expect([flat, doubled]).toEqual([0, 0]);
    if (["sphere", "cascade", "guide vanes", "stator vanes"].includes(name)) expect(open).toBe(0);
    else expect(open).toBeGreaterThan(24);
    for (let i = 0; i < 3; i++) {
      let [low, high] = [Infinity, -Infinity];
      for (let k = i; k < drawn.length; k += 3) {
        low = Math.min(low, drawn[k]!);
        high = Math.max(high, drawn[k]!);
      }
      expect(low - space.bounds[i]!).toBeGreaterThan(-1e-9);
      expect(space.bounds[3 + i]! - high).toBeGreaterThan(-1e-9);
      // boxes of bends are wider than they need be
      if (shape.kind === "tee" || shape.kind === "bend") continue;
      expect(low - space.bounds[i]!).toBeLessThan(0.4e-3);
      expect(space.bounds[3 + i]! - high).toBeLessThan(0.4e-3);
    }
  });
});

describe("pipes that join", () => {
  const main: Body = { ...bodyOf({ kind: "bore", points: [{ at: [0, 0, -0.3], radius: 0.05, bend: 0 }, { at: [0, 0, 0.3], radius: 0.05, bend: 0 }] }), name: "main" }; // biome-ignore format: one row
  const side = (joins: readonly string[], from = 0, to = 0.2, r = 0.03): Body => ({
    ...bodyOf({ kind: "bore", points: [{ at: [from, 0, 0], radius: r, bend: 0 }, { at: [to, 0, 0], radius: r, bend: 0 }] }), // biome-ignore format: one row
    name: "side",
    joins,
  });

  test("two bores that join are the tee of the same dimensions, to rounding", () => {
    const random = createRandom(5);
    const points = Array.from({ length: 3 * 1500 }, () => 0.24 * (random() - 0.4));
    const long: Shape = { kind: "tee", runRadius: 0.05, runLength: 0.6, branchRadius: 0.03, branchLength: 0.2, angle: Math.PI / 2 };
    const pair = ask([main, side(["main"])], points);
    const one = ask([bodyOf(long)], points);
    pair.distance.forEach((d, k) => {
      expect(Math.abs(d - one.distance[k]!)).toBeLessThan(1e-9);
    });
    // without joins the run's wall closes the mouth
    expect(ask([main, side([])], [0.05, 0, 0]).distance[0]).toBeLessThan(rounding);
    expect(pair.distance.some((d, k) => d > ask([main, side([])], points.slice(3 * k, 3 * k + 3)).distance[0]! + 1e-3)).toBe(true);
  });

  test("a bore through both walls opens both; each body keeps its own name", () => {
    const cross = ask([main, side(["main"], -0.2, 0.2)], [0.05, 0, 0, -0.05, 0, 0, 0.12, 0, 0, 0, 0, 0.2]);
    // 30 mm from the flank of the rim, where the run's wall was
    expect(cross.distance[0]).toBeCloseTo(0.03, 14);
    expect(cross.distance[1]).toBeCloseTo(0.03, 14);
    expect(cross.distance[2]).toBeCloseTo(0.03, 14);
    expect(cross.body.slice(2)).toEqual([1, 0]);
  });

  test("a reducer let into a bore: the rim is the circle where the cone has the bore's radius", () => {
    // from radius 0.02 at z = 0.2 to 0.08 at z = 0.5: as wide as the bore at z = 0.35 > 0.3, so make the bore longer
    const longer: Body = { ...bodyOf({ kind: "bore", points: [{ at: [0, 0, -0.3], radius: 0.05, bend: 0 }, { at: [0, 0, 0.5], radius: 0.05, bend: 0 }] }), name: "main" }; // biome-ignore format: one row
    const cone: Body = {
      ...bodyOf({ kind: "reducer", radii: [0.02, 0.08], length: 0.3 }, placed(0, 0, 0, [0, 0, 0.2])),
      name: "cone",
      joins: ["main"],
    };
    const { distance } = ask([longer, cone], [0.05, 0, 0.35, 0.03, 0, 0.25, 0.05, 0, 0.45, 0.05, 0, 0.1]);
    expect(distance[0]).toBeLessThan(1e-12);
    // the cone's own wall within the bore is gone, and the bore's within the cone
    expect(distance[1]).toBeGreaterThan(0.019);
    expect(distance[2]).toBeGreaterThan(0.01);
    expect(distance[3]).toBeLessThan(rounding);
  });

  test("a bend that comes out of a bore, and pipes that only abut", () => {
    const bend: Body = { ...bodyOf({ kind: "bend", bendRadius: 0.1, boreRadius: 0.02, angle: 1.2 }, placed(0, Math.PI / 2, 0, [0, 0, 0])), name: "bend", joins: ["main"] }; // biome-ignore format: one row
    const mouth = ask([main, bend], [0.049, 0, -0.012]).distance[0]!;
    expect(mouth).toBeGreaterThan(0.015);
    const after: Body = {
      ...bodyOf({ kind: "reducer", radii: [0.05, 0.02], length: 0.1 }, placed(0, 0, 0, [0, 0, 0.3])),
      name: "after",
      joins: ["main"],
    };
    expect(createSpace([main, after]).parts.map((part) => part.openings.length)).toEqual([0, 0]);
  });

  test("what cannot be opened is refused, with the other's name", () => {
    const faults = (bodies: readonly Body[]): string[] => {
      try {
        createSpace(bodies);
      } catch (error) {
        return (error as { faults: { code: string; path: string; problem: string }[] }).faults.map(
          (f) => `${f.code} ${f.path} ${f.problem}`,
        );
      }
      return [];
    };
    expect(faults([main, side(["nobody"])])[0]).toContain("space.join bodies[1].joins[0] (side) is nobody");
    expect(faults([main, side(["main"], 0.1, 0.2)])[0]).toContain("no wall of either passes");
    expect(faults([main, { ...bodyOf({ kind: "box", size: [1, 1, 1] }), name: "box", joins: ["main"] }])[0]).toContain("no pipe");
    expect(faults([main, { ...side(["main"]), placement: placed(0, 0, 0, [0, 0.04, 0]) }])[0]).toContain("all round");
    expect(faults([bodyOf({ ...tee, branchLength: 0.045 } as Shape)])[0]).toContain("branch");
    expect(faults([bodyOf({ ...more["cascade"], pitch: 0.004 } as Shape)])[0]).toContain("run into each other");
  });

  test("drawn walls are open too: no triangle of the run hangs in the branch", () => {
    const bodies = [main, side(["main"])];
    const all = Float64Array.from([...drawBody(bodies[0]!, bodies), ...drawBody(bodies[1]!, bodies)]);
    const random = createRandom(8);
    const points = Array.from({ length: 3 * 1000 }, () => 0.2 * (random() - 0.3));
    const mesh = ask([meshOf(all)], points).distance;
    ask(bodies, points).distance.forEach((d, k) => {
      expect(Math.abs(d - mesh[k]!)).toBeLessThan(0.2e-3);
    });
  });
});

describe("the nearest point of random drawn bodies", () => {
  const length = (least: number, most: number) => fc.double({ min: least, max: most, noNaN: true });
  const shapeArbitrary: fc.Arbitrary<Shape> = fc.oneof(
    fc.record({
      kind: fc.constant("bend" as const),
      bendRadius: length(0.06, 0.2),
      boreRadius: length(0.01, 0.06),
      angle: length(0.1, 6.2),
    }),
    fc.record({ kind: fc.constant("reducer" as const), radii: fc.tuple(length(0.01, 0.1), length(0.01, 0.1)), length: length(0.02, 0.3) }),
    fc.record({
      kind: fc.constant("annulus" as const),
      innerRadius: length(0.01, 0.05),
      outerRadius: length(0.06, 0.1),
      length: length(0.02, 0.3),
    }),
    fc.record({
      kind: fc.constant("tee" as const),
      runRadius: length(0.03, 0.06),
      runLength: fc.constant(0.6),
      branchRadius: length(0.01, 0.03),
      branchLength: fc.constant(0.25),
      angle: length(0.6, 2.5),
    }),
    fc.record({
      kind: fc.constant("vanes" as const),
      row: fc.constantFrom("straight" as const, "radial" as const, "axial" as const),
      count: fc.integer({ min: 1, max: 8 }),
      chord: length(0.02, 0.05),
      thickness: length(0.001, 0.01),
      span: length(0.02, 0.1),
      stagger: length(-0.6, 0.6),
      camber: fc.oneof(fc.constant(0), length(0.01, 0.9)),
      pitch: fc.constant(0.07),
      radius: fc.constant(0.1),
    }),
    fc.record({ kind: fc.constant("sphere" as const), radius: length(0.01, 0.2) }),
  );
  const coordinate = length(-0.3, 0.3);
  const point = fc.tuple(coordinate, coordinate, coordinate);

  test("300 cases: no surface sample is nearer, a sample is as near as the samples are close, and it moves no faster than the point, seed 35", () => {
    fc.assert(
      fc.property(shapeArbitrary, point, point, (shape, p, q) => {
        const body = bodyOf(shape);
        const { distance, closest } = ask([body], [...p, ...q]);
        const [d, e] = distance as [number, number];
        expect(Math.abs(d - e)).toBeLessThanOrEqual(Math.hypot(p[0] - q[0], p[1] - q[1], p[2] - q[2]) + 1e-12);
        expect(ask([body], closest).distance[0]).toBeLessThan(1e-12);
        const { points, gap } = sampleSurface(shape);
        let least = Infinity;
        for (let k = 0; k < points.length; k += 3)
          least = Math.min(least, (points[k]! - p[0]) ** 2 + (points[k + 1]! - p[1]) ** 2 + (points[k + 2]! - p[2]) ** 2);
        least = Math.sqrt(least);
        expect(d).toBeLessThanOrEqual(least + 1e-12);
        expect(least - d).toBeLessThanOrEqual(gap);
      }),
      { seed: 35, numRuns: 300 },
    );
  });
});

/**
 * Points of a body's surface, made from its definition alone: angles and lengths stepped through, those of a tee kept where they are
 * in neither's inside.
 *
 * @returns [n, 3], m, and how far a point of the surface may be from the nearest of them, m
 */
function sampleSurface(shape: Shape): { points: number[]; gap: number } {
  const points: number[] = [];
  const round = 90;
  const long = 60;
  const mantle = (
    r0: number,
    r1: number,
    z0: number,
    z1: number,
    put = (x: number, y: number, z: number): unknown => points.push(x, y, z),
  ) => {
    for (let k = 0; k < round; k++) {
      for (let j = 0; j <= long; j++) {
        const t = j / long;
        const r = r0 + t * (r1 - r0);
        put(r * Math.cos((2 * Math.PI * k) / round), r * Math.sin((2 * Math.PI * k) / round), z0 + t * (z1 - z0));
      }
    }
  };
  const gapOf = (r: number, length: number): number => Math.hypot((Math.PI * r) / round, length / long / 2) + 1e-6;
  switch (shape.kind) {
    case "reducer":
      mantle(...shape.radii, 0, shape.length);
      return { points, gap: gapOf(Math.max(...shape.radii), Math.hypot(shape.length, shape.radii[0] - shape.radii[1])) };
    case "annulus":
      mantle(shape.outerRadius, shape.outerRadius, 0, shape.length);
      mantle(shape.innerRadius, shape.innerRadius, 0, shape.length);
      mantle(0, shape.innerRadius, 0, 0);
      mantle(0, shape.innerRadius, shape.length, shape.length);
      return { points, gap: gapOf(shape.outerRadius, Math.max(shape.length, shape.innerRadius)) };
    case "bend": {
      const steps = 200;
      for (let k = 0; k < round; k++) {
        for (let j = 0; j <= steps; j++) {
          const angle = (shape.angle * j) / steps;
          const out = shape.bendRadius + shape.boreRadius * Math.cos((2 * Math.PI * k) / round);
          points.push(
            shape.bendRadius - out * Math.cos(angle),
            shape.boreRadius * Math.sin((2 * Math.PI * k) / round),
            out * Math.sin(angle),
          );
        }
      }
      return {
        points,
        gap: Math.hypot((Math.PI * shape.boreRadius) / round, (shape.angle * (shape.bendRadius + shape.boreRadius)) / steps / 2) + 1e-6,
      };
    }
    case "tee": {
      const { runRadius, runLength, branchRadius, branchLength, angle } = shape;
      const [s, c] = [Math.sin(angle), Math.cos(angle)];
      mantle(runRadius, runRadius, -runLength / 2, runLength / 2, (x, y, z) => {
        const along = x * s + z * c;
        const out = Math.hypot(x * c - z * s, y);
        if (!(along > 0 && along < branchLength && out < branchRadius)) points.push(x, y, z);
      });
      mantle(branchRadius, branchRadius, 0, branchLength, (x, y, z) => {
        // the branch's own axes: z along it, x in the plane of both
        const [wx, wz] = [x * c + z * s, -x * s + z * c];
        if (!(Math.hypot(wx, y) < runRadius && Math.abs(wz) < runLength / 2)) points.push(wx, y, wz);
      });
      // at the rim a sample may lie half a step beyond what is left of the wall, on either side
      return { points, gap: 2 * (gapOf(runRadius, runLength) + gapOf(branchRadius, branchLength)) };
    }
    case "sphere": {
      mantle(1, 1, -1, 1, (x, y, z) => {
        const h = Math.sqrt(1 - z * z);
        points.push(shape.radius * x * h, shape.radius * y * h, shape.radius * z);
      });
      // rows even in z: the greatest step is at the poles, acos(1 - 2 / 60)
      return { points, gap: shape.radius * Math.hypot(Math.PI / round, Math.acos(1 - 2 / long)) };
    }
    case "vanes": {
      const { count, chord, thickness, span, stagger, camber, row, pitch, radius } = shape;
      const half = (chord - thickness) / 2;
      const h = thickness / 2;
      const bow = camber > 1e-9 ? half / Math.sin(camber / 2) : 0;
      const outline: [number, number][] = [];
      const steps = 60;
      for (let j = 0; j <= steps; j++) {
        const t = (2 * j) / steps - 1;
        const lean = bow > 0 ? (t * camber) / 2 : 0;
        const [u, v] = bow > 0 ? [bow * Math.sin(lean), bow * (Math.cos(lean) - Math.cos(camber / 2))] : [t * half, 0];
        for (const across of [-1, -0.5, 0, 0.5, 1]) outline.push([u + across * h * Math.sin(lean), v + across * h * Math.cos(lean)]);
        if (Math.abs(t) === 1)
          for (let k = 0; k <= 12; k++)
            outline.push([
              u + t * h * Math.cos(t * lean + (k / 12 - 0.5) * Math.PI),
              v + h * Math.sin(-lean * t * t + (k / 12 - 0.5) * Math.PI),
            ]);
      }
      const [c, s] = [Math.cos(stagger), Math.sin(stagger)];
      for (let k = 0; k < count; k++) {
        const turn = (k * pitch) / radius;
        outline.forEach(([u, v], j) => {
          // on the faces between the outlines only the ends are surface
          const rim = j % 5 === 0 || j % 5 === 4;
          for (let i = 0; i <= 24; i++) {
            const w = (span * i) / 24;
            if (!rim && i !== 0 && i !== 24) continue;
            if (row === "straight") points.push((k - (count - 1) / 2) * pitch + s * u - c * v, c * u + s * v, w);
            else if (row === "radial") {
              const [x, y] = [radius + c * u - s * v, s * u + c * v];
              points.push(x * Math.cos(turn) - y * Math.sin(turn), x * Math.sin(turn) + y * Math.cos(turn), w);
            } else {
              const [x, y, z] = [radius + w, s * u + c * v, c * u - s * v];
              points.push(x * Math.cos(turn) - y * Math.sin(turn), x * Math.sin(turn) + y * Math.cos(turn), z);
            }
          }
        });
      }
      return { points, gap: Math.hypot(chord / steps, span / 24, h) + h };
    }
    default:
      throw new Error(`no samples of a ${shape.kind}`);
  }
}
