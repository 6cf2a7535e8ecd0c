/**
 * Whether a place can be seen from another: the straight line between them against every surface, and how far the viewer may shift with
 * the line still free. Walks along the line by exact distances, so that no body is passed over, whatever its shape.
 */
import { pickBodies } from "./create-space.ts";
import type { SpaceModel } from "./model.ts";
import { createSpaceAnswer, createSpaceWork, sampleSpace } from "./sample-space.ts";

type Point = readonly [number, number, number];

export interface Sight {
  /**
   * guaranteed: the viewer may shift by this much any way, m, and the line to the place stays free of all surfaces but for its last
   * stretch; 0 where it is cut
   */
  readonly room: number;
  /** surface that comes nearest to cutting the line, or cuts it: body, and place on it; -1 when there is none */
  readonly body: number;
  readonly place: Point;
  /** whether something stands between */
  readonly cut: boolean;
}

/** What lies under a place. */
export interface SurfaceThere {
  /** distance of the place from it, m; Infinity when there is no surface at all */
  readonly away: number;
  /** body whose it is, -1 for none */
  readonly body: number;
  /** its nearest point, m, world */
  readonly at: Point;
  /** unit vector square to it, to the viewer's side; 0, 0, 0 when there is none */
  readonly normal: Point;
}

/** The line is looked at to this near to the place, m: there its own surface begins. */
const leastStretch = 1e-4;
/** A line that a shift of this share of its length would cut counts as cut. */
const grazing = 1e-3;
/** Of the free distance, how much is walked at a time: the room stated falls short of the true one by no more than about this share (or of half the grazing share of the line). */
const stride = 0.05;
/** How far from a surface its normal is taken, m. */
const lift = 1e-5;

/** The same bodies without their stand-offs, and without zones: nothing is there to hide what lies behind. */
export function sightSpace(space: SpaceModel): SpaceModel {
  const kept = Array.from(space.bodies.keys()).filter((k) => space.bodies[k]?.zone === undefined);
  const seen = pickBodies(space, kept);
  return { ...seen, parts: seen.parts.map((part) => ({ ...part, keep: 0 })) };
}

/**
 * The surface nearest to a place, as seen from a viewer.
 *
 * @param space without stand-offs (`sightSpace`)
 */
export function surfaceAt(space: SpaceModel, place: Point, viewer: Point): SurfaceThere {
  const answer = createSpaceAnswer(1);
  const work = createSpaceWork(space);
  const ask = (p: Point): Point => {
    sampleSpace(space, Float64Array.from(p), 1, Number.POSITIVE_INFINITY, answer, work);
    return [answer.closest[0] as number, answer.closest[1] as number, answer.closest[2] as number];
  };
  const at = ask(place);
  const body = answer.body[0] as number;
  if (body < 0) return { away: Number.POSITIVE_INFINITY, body, at: place, normal: [0, 0, 0] };
  const away = answer.distance[0] as number;
  // a point just off the surface on the viewer's side: the way to it from its nearest point is square to the surface
  const to = minus(viewer, at);
  const far = size(to);
  if (!(far > 0)) return { away, body, at, normal: [0, 0, 0] };
  const step = Math.min(lift, far / 2);
  const off: Point = [at[0] + (step * to[0]) / far, at[1] + (step * to[1]) / far, at[2] + (step * to[2]) / far];
  const up = minus(off, ask(off));
  const high = size(up);
  // seen edge on: square to the line of sight is all that can be told
  return { away, body, at, normal: high > 1e-3 * step ? [up[0] / high, up[1] / high, up[2] / high] : [0, 0, 0] };
}

/**
 * The line from a viewer to a place.
 *
 * @param space without stand-offs (`sightSpace`)
 * @param place on a surface (`surfaceAt`), or in the open
 * @param stretch how near to the place the line is looked at, m: how rough its surface is, or how near to it will do
 */
export function seePlace(space: SpaceModel, viewer: Point, place: Point, stretch = leastStretch): Sight {
  const line = minus(viewer, place);
  const length = size(line);
  const answer = createSpaceAnswer(1);
  const work = createSpaceWork(space);
  const point = new Float64Array(3);
  let share = Number.POSITIVE_INFINITY;
  let body = -1;
  let nearest: Point = place;
  // from the viewer on: s is what is left
  for (let s = length; s > Math.min(Math.max(stretch, leastStretch), length / 2); ) {
    for (let r = 0; r < 3; r++) point[r] = (place[r] as number) + ((line[r] as number) * s) / length;
    sampleSpace(space, point, 1, 2 * length, answer, work);
    const free = answer.distance[0] as number;
    const touch: Point = [answer.closest[0] as number, answer.closest[1] as number, answer.closest[2] as number];
    if (free <= grazing * s) return { room: 0, body: answer.body[0] as number, place: touch, cut: true };
    const step = Math.min(Math.max(stride * free, 0.5 * grazing * s), s);
    // over the step the distance falls no faster than the way that is walked
    const least = Math.min(free / s, s > step ? (free - step) / (s - step) : Number.POSITIVE_INFINITY);
    if (least < share) {
      share = least;
      body = answer.body[0] as number;
      nearest = touch;
    }
    s -= step;
  }
  return { room: Math.min(share, 1) * length, body, place: nearest, cut: false };
}

function minus(a: Point, b: Point): Point {
  return [a[0] - b[0], a[1] - b[1], a[2] - b[2]];
}

function size(a: Point): number {
  return Math.sqrt(a[0] * a[0] + a[1] * a[1] + a[2] * a[2]);
}
