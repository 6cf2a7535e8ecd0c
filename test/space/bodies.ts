/** Bodies to ask, one of each kind, and how they are asked. */
import {
  type Body,
  createSpace,
  createSpaceAnswer,
  createSpaceWork,
  type Placement,
  type Shape,
  sampleSpace,
  type TouchRule,
} from "../../src/space/index.ts";

export const upright: Placement = { at: [0, 0, 0], rotation: [1, 0, 0, 0, 1, 0, 0, 0, 1] };

/** A rotation from three angles about x, y, z in turn. */
export function placed(a: number, b: number, c: number, at: readonly [number, number, number]): Placement {
  const [ca, sa, cb, sb, cc, sc] = [Math.cos(a), Math.sin(a), Math.cos(b), Math.sin(b), Math.cos(c), Math.sin(c)];
  return {
    at,
    rotation: [
      cc * cb, cc * sb * sa - sc * ca, cc * sb * ca + sc * sa,
      sc * cb, sc * sb * sa + cc * ca, sc * sb * ca - cc * sa,
      -sb, cb * sa, cb * ca,
    ],
  }; // biome-ignore format: a matrix
}

export const shapes: Readonly<Record<string, Shape>> = {
  bore: {
    kind: "bore",
    points: [
      { at: [0, 0, 0], radius: 0.02, bend: 0 },
      { at: [0, 0, 0.2], radius: 0.03, bend: 0.06 },
      { at: [0.3, 0.1, 0.2], radius: 0.025, bend: 0.1 },
      { at: [0.3, 0.4, 0.4], radius: 0.02, bend: 0 },
    ],
  },
  box: { kind: "box", size: [0.1, 0.2, 0.05] },
  cylinder: { kind: "cylinder", radius: 0.03, length: 0.1 },
  ring: { kind: "ring", radius: 0.05, bar: 0.01 },
  plate: { kind: "plate", size: [0.1, 0.14], thickness: 0.02, holeRadius: 0.02 },
  tubes: { kind: "tubes", radius: 0.005, length: 0.1, places: [[0, 0], [0.02, 0], [0.01, 0.02], [0.03, 0.04], [0.01, -0.03]] }, // biome-ignore format: one row
};

/** Pipes that open into themselves or stand alone, a ball, and rows of vanes. */
export const more: Readonly<Record<string, Shape>> = {
  bend: { kind: "bend", bendRadius: 0.1, boreRadius: 0.03, angle: 2 },
  "return bend": { kind: "bend", bendRadius: 0.08, boreRadius: 0.025, angle: 1.5 * Math.PI },
  reducer: { kind: "reducer", radii: [0.04, 0.02], length: 0.08 },
  tee: { kind: "tee", runRadius: 0.03, runLength: 0.2, branchRadius: 0.02, branchLength: 0.09, angle: Math.PI / 2 },
  "equal tee": { kind: "tee", runRadius: 0.03, runLength: 0.2, branchRadius: 0.03, branchLength: 0.09, angle: Math.PI / 2 },
  lateral: { kind: "tee", runRadius: 0.03, runLength: 0.24, branchRadius: 0.018, branchLength: 0.1, angle: Math.PI / 4 },
  annulus: { kind: "annulus", innerRadius: 0.02, outerRadius: 0.035, length: 0.1 },
  sphere: { kind: "sphere", radius: 0.05 },
  cascade: { kind: "vanes", row: "straight", count: 5, chord: 0.06, thickness: 0.006, span: 0.05, stagger: 0.6, camber: 0, pitch: 0.03, radius: 0 },
  "guide vanes": { kind: "vanes", row: "radial", count: 9, chord: 0.05, thickness: 0.005, span: 0.04, stagger: 0.9, camber: 0.7, pitch: (2 * Math.PI * 0.09) / 9, radius: 0.09 },
  "stator vanes": { kind: "vanes", row: "axial", count: 7, chord: 0.04, thickness: 0.004, span: 0.05, stagger: -0.5, camber: 0.4, pitch: (2 * Math.PI * 0.06) / 7, radius: 0.06 },
}; // biome-ignore format: a table

export function bodyOf(shape: Shape, placement: Placement = upright, touch: TouchRule = { kind: "free" }, name = "a body"): Body {
  return { name, shape, placement, touch };
}

export function meshOf(corners: Float64Array, placement: Placement = upright, touch: TouchRule = { kind: "free" }, name = "a mesh"): Body {
  return bodyOf({ kind: "mesh", corners, unit: 1 }, placement, touch, name);
}

export interface Asked {
  readonly distance: number[];
  readonly body: number[];
  readonly closest: number[];
}

/** Asks points [n, 3] with fresh work. */
export function ask(bodies: readonly Body[], points: ArrayLike<number>, reach = Infinity): Asked {
  const space = createSpace(bodies);
  const n = points.length / 3;
  const answer = createSpaceAnswer(n);
  sampleSpace(space, Float64Array.from(points), n, reach, answer, createSpaceWork(space));
  return { distance: [...answer.distance], body: [...answer.body], closest: [...answer.closest] };
}

/** The distance from one point. */
export function distanceTo(shape: Shape, point: readonly [number, number, number]): number {
  return ask([bodyOf(shape)], point).distance[0]!;
}
