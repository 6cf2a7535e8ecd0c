/** The places of a patch that are tried: any one of them will do. */
import { createSpaceAnswer, createSpaceWork, type SpaceModel, sampleSpace, sightSpace, surfaceAt, type Target } from "../space/index.ts";

type Point = readonly [number, number, number];

export interface Places {
  /** [place] the target's own first, on the surface, m, world */
  readonly places: readonly Point[];
  /** how far, at most, a place of the patch is from the nearest of these, across it, m */
  readonly apart: number;
}

/** Rings of a disc, and places along each side of a rectangle. */
const rings = 3;
const side = 5;

/** @returns undefined where the target is one place */
export function listPlaces(space: SpaceModel, target: Target): Places | undefined {
  const { patch } = target;
  if (patch === undefined) return undefined;
  const bare = sightSpace(space);
  const viewer = [0, 1, 2].map((r) => (target.place[r] as number) - 0.01 * (target.direction[r] as number)) as unknown as Point;
  const under = surfaceAt(bare, target.place, viewer);
  const normal =
    target.normal ?? (under.normal.some((v) => v !== 0) ? under.normal : (target.direction.map((v) => -v) as unknown as Point));
  const [p, q] = across(normal, "along" in patch ? patch.along : undefined);
  const flat: (readonly [number, number])[] = [[0, 0]];
  let apart: number;
  if ("radius" in patch) {
    for (let ring = 1; ring <= rings; ring++) {
      for (let k = 0; k < 6 * ring; k++) {
        const [r, turn] = [(patch.radius * ring) / rings, (2 * Math.PI * k) / (6 * ring)];
        flat.push([r * Math.cos(turn), r * Math.sin(turn)]);
      }
    }
    // rings a third of the radius apart, places on them no farther apart than pi / 9 of it
    apart = (patch.radius / rings) * Math.hypot(0.5, Math.PI / 6);
  } else {
    const [a, b] = patch.size;
    for (let i = 0; i < side; i++)
      for (let j = 0; j < side; j++)
        if (i !== (side - 1) / 2 || j !== (side - 1) / 2) flat.push([a * (i / (side - 1) - 0.5), b * (j / (side - 1) - 0.5)]);
    apart = Math.hypot(a, b) / (side - 1) / 2;
  }
  const answer = createSpaceAnswer(1);
  const work = createSpaceWork(bare);
  const places = flat.map(([u, v]) => {
    const made = [0, 1, 2].map((r) => (target.place[r] as number) + u * (p[r] as number) + v * (q[r] as number)) as unknown as Point;
    sampleSpace(bare, Float64Array.from(made), 1, Number.POSITIVE_INFINITY, answer, work);
    // brought to the surface where that is near; left out where the surface ends
    const near = (answer.distance[0] as number) <= under.away + target.tolerance;
    return near ? ([answer.closest[0], answer.closest[1], answer.closest[2]] as unknown as Point) : undefined;
  });
  const kept = places.filter((place) => place !== undefined);
  return { places: kept.length === 0 ? [target.place] : kept, apart };
}

/** Two unit vectors square to `n` and to each other, the first as near to `along` as that leaves. */
function across(n: Point, along: Point | undefined): readonly [Point, Point] {
  const least = [0, 1, 2].reduce((a, b) => (Math.abs(n[b] as number) < Math.abs(n[a] as number) ? b : a));
  const wish = along ?? ([0, 1, 2].map((r) => (r === least ? 1 : 0)) as unknown as Point);
  const on = wish[0] * n[0] + wish[1] * n[1] + wish[2] * n[2];
  const e = [wish[0] - on * n[0], wish[1] - on * n[1], wish[2] - on * n[2]];
  const size = Math.sqrt(e.reduce((sum, v) => sum + v * v, 0));
  if (!(size > 1e-6)) return across(n, undefined);
  const p = e.map((v) => v / size) as unknown as Point;
  return [p, [n[1] * p[2] - n[2] * p[1], n[2] * p[0] - n[0] * p[2], n[0] * p[1] - n[1] * p[0]]];
}
