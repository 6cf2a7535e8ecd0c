/** Rigid parts in bends: what a body that cannot bend takes of the room (plane geometry). */
import { describe, expect, test } from "vitest";
import { createArm } from "../../src/arm/index.ts";
import { createHullWork, measureHull } from "../../src/insertion/hull.ts";
import { solveTensions } from "../../src/rod/index.ts";
import { createSpaceWork } from "../../src/space/index.ts";
import { identity, spaceOf } from "../insertion/made-route.ts";
import { bench, noLoad, plainRod, stanceAlongX } from "../rod/arms.ts";
import { reach } from "./reach.ts";

describe("a rigid link with both ends on an arc bows off by R - sqrt(R^2 - l^2/4)", () => {
  test.each([
    [0.05, 0.15, 2.098005e-3],
    [0.02, 0.15, 0.15 - Math.sqrt(0.15 ** 2 - 0.01 ** 2)],
    [0.05, 0.4, 0.4 - Math.sqrt(0.4 ** 2 - 0.025 ** 2)],
  ])("links of %d m on an arc of %d m", (link, radius, bow) => {
    // joints so short that they are points, each turned by twice the angle a link takes at the centre
    const spans = 6;
    const flexibleShare = 1e-7;
    const joint = 2 * Math.asin(link / 2 / radius);
    const arm = createArm(plainRod({ length: spans * link, spans, ei: 1, flexibleShare, rest: [0, joint / (flexibleShare * link), 0] }), {
      lock: ["axial"],
    });
    const b = bench(arm);
    solveTensions(arm, noLoad, stanceAlongX(), b.state, b.work);
    const middle = (i: number): number[] => [0, 1, 2].map((r) => b.work.frame[12 * i + 9 + r] as number);
    const end = (i: number): number[] => middle(i).map((v, r) => v + (link / 2) * (b.work.frame[12 * i + 3 * r + 2] as number));
    const centre = circleThrough(end(1), end(2), end(3));
    for (let i = 1; i < spans; i++) {
      expect(distance(end(i), centre)).toBeCloseTo(radius, 6);
      reach("linkOnArc", radius - distance(middle(i), centre) - bow);
    }
  });
});

describe("a rigid cylinder in a bend: (R - D/2 + d)^2 + (l/2)^2 <= (R + D/2)^2", () => {
  // bore of 50 mm round 75 mm, body of 30 mm: 120 mm long at most
  const [bore, bend, diameter] = [0.05, 0.075, 0.03];
  const longest = 2 * Math.sqrt((bend + bore / 2) ** 2 - (bend - bore / 2 + diameter) ** 2);
  const half = Math.SQRT1_2;
  const corner = [bend * Math.SQRT2, 0, 0] as const;
  const space = spaceOf({
    name: "bend",
    touch: { kind: "free" as const },
    placement: identity,
    shape: {
      kind: "bore" as const,
      points: [
        { at: [corner[0] - 0.3 * half, 0, -0.3 * half] as const, radius: bore / 2, bend: 0 },
        { at: corner, radius: bore / 2, bend },
        { at: [corner[0] - 0.3 * half, 0, 0.3 * half] as const, radius: bore / 2, bend: 0 },
      ],
    },
  });

  /** Best clearance of a body of a length, moved across the bore at its tightest. */
  function best(length: number): number {
    const plain = plainRod({ length: 2 * (length + 1e-4), spans: 2, ei: 1, flexibleShare: 1e-4 / (length + 1e-4) });
    const arm = createArm({ ...plain, sections: plain.sections.map((s) => ({ ...s, outerDiameter: diameter })) });
    const clearance = (x: number): number => {
      // the first vertebra in the middle of the bend, along z; the others are not looked at
      const frames = Float64Array.from([-1, 0, 1].flatMap((i) => [1, 0, 0, 0, 1, 0, 0, 0, 1, x, 0, i * (length + 1e-4)]));
      const spare = new Float64Array(3);
      measureHull(arm, space, frames, 0, [0, 0, 1], 0, 0, spare, new Int32Array(3), createSpaceWork(space), createHullWork(arm));
      return spare[1] as number;
    };
    // against the inner wall it is the middle, against the outer the ends: in between it is best
    let [low, high] = [bend - bore / 2 + diameter / 2, bend];
    while (high - low > 0.1e-3) {
      const [a, b] = [low + (high - low) / 3, high - (high - low) / 3];
      if (clearance(a) < clearance(b)) low = a;
      else high = b;
    }
    return clearance((low + high) / 2);
  }

  test("120 mm is the longest", () => {
    expect(longest).toBeCloseTo(0.12, 12);
    // a bound: what it gives away on either side (up to 0.4 mm at a hull of this length) costs six times that in length
    let [fits, stuck] = [0.1, 0.13];
    expect([best(fits) > 0, best(stuck) > 0]).toEqual([true, false]);
    while (stuck - fits > 2e-4) {
      const middle = (fits + stuck) / 2;
      if (best(middle) > 0) fits = middle;
      else stuck = middle;
    }
    // never too long
    expect(fits).toBeLessThan(longest + 2e-4);
    reach("cylinderInBend", (fits - longest) * 1e3);
  });
});

function distance(a: readonly number[], b: readonly number[]): number {
  return Math.hypot(...a.map((v, k) => v - (b[k] as number)));
}

/** Centre of the circle through three places in the plane y = 0. */
function circleThrough(a: readonly number[], b: readonly number[], c: readonly number[]): number[] {
  const [ax, , az] = a as [number, number, number];
  const [bx, , bz] = b as [number, number, number];
  const [cx, , cz] = c as [number, number, number];
  const d = 2 * (ax * (bz - cz) + bx * (cz - az) + cx * (az - bz));
  const [a2, b2, c2] = [ax * ax + az * az, bx * bx + bz * bz, cx * cx + cz * cz];
  return [(a2 * (bz - cz) + b2 * (cz - az) + c2 * (az - bz)) / d, 0, (a2 * (cx - bx) + b2 * (ax - cx) + c2 * (bx - ax)) / d];
}
