/**
 * A space answers one question: how far is it from here to the nearest surface, and what is there?
 * Distances are unsigned; free space is what is connected to the port.
 *
 * Every body carries a **keep**: what must stay between it and the arm beyond mere touching (the stand-off of a
 * `never` body, 0 for the others, and on top of it how far a mesh may be from the true surface). Distances are reported *less the keep*, so that one threshold serves all bodies.
 */
import type { Body } from "./description.ts";
import type { Opening } from "./find-openings.ts";
import type { TriangleTree } from "./triangle-tree.ts";

/** Plain data, made once by `createSpace`, can be posted to a worker. Owned by this folder; read it only through its verbs. */
export interface SpaceModel {
  readonly bodies: readonly Body[];
  /** [6] min x, y, z, max x, y, z over all surfaces, m, world */
  readonly bounds: Float64Array;
  /** [body] the same bodies, ready to be asked */
  readonly parts: readonly SpacePart[];
}

/** How the nearest point of a part is found. */
export const partKind = { mesh: 0, bore: 1, box: 2, cylinder: 3, ring: 4, plate: 5, tubes: 6, sphere: 7, vanes: 8 } as const;

/** One body, ready to be asked. All parts have the same fields, so that the loop over them meets one kind of object. */
export interface SpacePart {
  /** one of `partKind` */
  readonly kind: number;
  /** what must stay between it and the arm, m, >= 0 */
  readonly keep: number;
  /** [6] min x, y, z, max x, y, z of its surface, m, world */
  readonly box: Float64Array;
  /** [12] rotation row-major, then place: world = R * local + at */
  readonly frame: Float64Array;
  /** the dimensions of a drawn body; its file says in which order */
  readonly size: Float64Array;
  /** the triangles of a mesh, empty for a drawn body */
  readonly tree: TriangleTree;
  /** where the wall of a bore is open into another; none for all others */
  readonly openings: readonly Opening[];
}

/** What one batch of questions writes. One a thread. */
export interface SpaceAnswer {
  /** [n] distance to the nearest surface less that body's keep, m; negative inside a keep; the reach where nothing is nearer than that */
  readonly distance: Float64Array;
  /** [n] index of the body that gives it, -1 where nothing is within reach */
  readonly body: Int32Array;
  /** [n, 3] the closest surface point, m, world; the asked point itself where nothing is within reach */
  readonly closest: Float64Array;
}
