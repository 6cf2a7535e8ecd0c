/** How near the things outside come to bodies and to each other, over all of the carriage's way. */
import { createSpaceAnswer, createSpaceWork, type SpaceModel, sampleSpace } from "../space/index.ts";
import type { Entry, Outside, RoomFact, Thing } from "./model.ts";

/** A distance is told to this, m. */
const told = 0.5e-3;

/** [3] least and greatest corner: across, up and outwards from the entry, m. */
interface Box {
  readonly name: string;
  readonly low: readonly [number, number, number];
  readonly high: readonly [number, number, number];
}

/**
 * @param space without stand-offs
 * @param travel way of the carriage, m
 */
export function measureRoom(space: SpaceModel, entry: Entry, { things }: Outside, travel: number): RoomFact {
  let worst: RoomFact = { distance: Number.POSITIVE_INFINITY, thing: "", to: "" };
  things.forEach((thing, k) => {
    for (const other of things.slice(k + 1)) {
      // what goes together stays as far apart as it is
      const way = thing.moves === other.moves ? 0 : travel;
      if (overlap(boxOf(thing, way), boxOf(other, way)) && worst.distance > 0) worst = { distance: 0, thing: thing.name, to: other.name };
    }
    const near = nearest(space, entry, boxOf(thing, travel), worst.distance);
    if (near.distance < worst.distance) worst = { distance: near.distance, thing: thing.name, to: space.bodies[near.body]?.name ?? "" };
  });
  return worst;
}

function boxOf({ name, size, behind, aside, moves }: Thing, travel: number): Box {
  const [x, y] = aside;
  const [a, b, c] = size;
  return { name, low: [x - a / 2, y - b / 2, behind], high: [x + a / 2, y + b / 2, behind + c + (moves ? travel : 0)] };
}

function overlap(a: Box, b: Box): boolean {
  // what only touches stands side by side
  const least = 1e-6;
  return a.low.every((low, i) => Math.min(a.high[i] as number, b.high[i] as number) - Math.max(low, b.low[i] as number) > least);
}

/**
 * Least distance from any place of a solid box to any surface: the box is halved until no part may hold a nearer place; a distance
 * changes no faster than the place moves.
 */
function nearest(space: SpaceModel, entry: Entry, box: Box, limit: number): { distance: number; body: number } {
  const answer = createSpaceAnswer(1);
  const work = createSpaceWork(space);
  const point = new Float64Array(3);
  let best = { distance: limit, body: -1 };
  const parts: [Box["low"], Box["high"]][] = [[box.low, box.high]];
  for (let part = parts.pop(); part !== undefined; part = parts.pop()) {
    const [low, high] = part;
    const middle = [0, 1, 2].map((i) => 0.5 * ((low[i] as number) + (high[i] as number))) as unknown as Box["low"];
    const half = 0.5 * Math.hypot(...low.map((value, i) => (high[i] as number) - value));
    for (let i = 0; i < 3; i++)
      point[i] =
        (entry.at[i] as number) +
        middle[0] * (entry.across[i] as number) +
        middle[1] * (entry.up[i] as number) +
        middle[2] * (entry.out[i] as number);
    sampleSpace(space, point, 1, Number.POSITIVE_INFINITY, answer, work);
    const d = answer.distance[0] as number;
    // a surface within the part's own size may run through it
    if (d < best.distance) best = { distance: d, body: answer.body[0] as number };
    if (d - half >= best.distance - told) continue;
    if (half < told) continue;
    const axis = [0, 1, 2].reduce((a, b) => ((high[b] as number) - (low[b] as number) > (high[a] as number) - (low[a] as number) ? b : a));
    const cut = (corner: Box["low"]): Box["low"] =>
      corner.map((value, i) => (i === axis ? (middle[i] as number) : value)) as unknown as Box["low"];
    parts.push([low, cut(high)], [cut(low), high]);
  }
  // no nearer than the search tells
  return { ...best, distance: Math.max(0, best.distance - (best.body < 0 ? 0 : told)) };
}
