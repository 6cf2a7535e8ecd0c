/**
 * A space answers one question: how far is it from here to the nearest surface, and what is there?
 * Distances are unsigned; free space is what is connected to the port.
 *
 * Every body carries a **keep**: what must stay between it and the arm beyond mere touching (the stand-off of a
 * `never` body, 0 for the others). Distances are reported *less the keep*, so that one threshold serves all bodies.
 */
import type { Body } from "./description.ts";

/** Plain data, made once by `createSpace`, can be posted to a worker. Owned by this folder; read it only through its verbs. */
export interface SpaceModel {
  readonly bodies: readonly Body[];
  /** [6] min x, y, z, max x, y, z over all surfaces, m, world */
  readonly bounds: Float64Array;
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
