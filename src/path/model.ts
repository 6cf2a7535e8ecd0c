/** The curve the arm's axis should lie on, from the port to the target, and why there is none when there is none. */

/** What is asked for. All lengths m, world frame. */
export interface RouteRequest {
  /** [3] where the guide ends and the curve starts */
  readonly start: readonly [number, number, number];
  /** [3] unit vector, first direction of the curve */
  readonly startDirection: readonly [number, number, number];
  /** [3] the place the aim points at */
  readonly target: readonly [number, number, number];
  /** [3] unit vector, the middle of the cone of aims */
  readonly aim: readonly [number, number, number];
  /** half-angle of the cone, rad */
  readonly cone: number;
  /** [2] least and greatest distance of the curve's end (the tool point) from the target */
  readonly standOff: readonly [number, number];
  /**
   * ends that are permitted in place of those of `target`, `aim`, `cone` and `standOff`: any of these will do. The first four then say
   * where to look and what to tell when there is none
   */
  readonly ends?: readonly EndRegion[];
  /** with `ends`: how far, at most, a permitted place may be from the nearest of theirs (a patch is asked at some places only), m; 0 when absent */
  readonly endsApart?: number;
  /** straight rigid length at the end of the curve (the tool), along its last direction */
  readonly endStraight: number;
  /** radius of the body */
  readonly radius: number;
  /**
   * clearance wanted beyond the radius; not in the throat of the port, straight on from the start along its axis until the
   * full room is there, and on the straight end no more than the nearness of the target leaves
   */
  readonly margin: number;
  /** least radius of curvature that the arm can follow */
  readonly bendRadius: number;
  /** greatest length that the arm can put out */
  readonly length: number;
  /** [6] min x, y, z, max x, y, z: where the search may go; the space's own bounds with some room when absent */
  readonly bounds?: readonly number[];
  /** false: where there is no route, nothing is sought that would explain it; true when absent */
  readonly explain?: boolean;
}

/** Ends about one place: aims within a cone, tool points within a range of stand-offs. */
export interface EndRegion {
  /** [3] the place the aim points at, m */
  readonly target: readonly [number, number, number];
  /** [3] unit vector, the middle of the cone of aims; its half-angle, rad */
  readonly aim: readonly [number, number, number];
  readonly cone: number;
  /** [2] m */
  readonly standOff: readonly [number, number];
}

/** A smooth curve, sampled evenly (the last interval may be shorter). */
export interface RouteCurve {
  /** number of samples */
  readonly count: number;
  /** [count, 3] m, world */
  readonly point: Float64Array;
  /** [count, 3] unit tangent */
  readonly tangent: Float64Array;
  /** [count] arc length from the start, m */
  readonly arc: Float64Array;
  /** [count] curvature, 1/m, >= 0 */
  readonly curvature: Float64Array;
  /** [count] exact distance to the nearest surface less that body's keep, m (the body's radius is not taken off) */
  readonly distance: Float64Array;
  /** [count] index of the nearest body */
  readonly body: Int32Array;
}

/** Something that stands in the way, with its place and number. */
export interface Obstacle {
  readonly kind: "narrow" | "bend" | "length" | "start" | "target" | "unreached";
  /** [3] m, world */
  readonly place: readonly [number, number, number];
  /** what is there: free radius (narrow, unreached, start, target), radius of the curve (bend), length of the curve (length); m */
  readonly is: number;
  /** the limit it had to meet: free radius, bend radius of the arm, greatest length of the arm; m */
  readonly needed: number;
  /** body that makes it, -1 for none */
  readonly body: number;
  /** in words, with numbers and names */
  readonly says: string;
  /** [3] unit vector along the passage, of a narrow one */
  readonly along?: readonly [number, number, number];
}

/**
 * `found`: the curve meets all constraints. `no-passage`: proven for the clearance, at the stated resolution.
 * `not-found`: a curve was sought and none met all constraints; this proves nothing.
 */
export interface Route {
  readonly status: "found" | "no-passage" | "not-found";
  /** present when found, and when not found: the best attempt, never to be shown as a way in */
  readonly curve?: RouteCurve;
  readonly obstacles: readonly Obstacle[];
  /** edge of the smallest cells searched, m */
  readonly resolution: number;
  /** [k, 3] where no way is wide enough: the widest there is, from the port to its narrowest place, or as near to the target as any comes, m */
  readonly reached?: Float64Array;
  /** [k, 3] and on from there to the target, where it leads there */
  readonly beyond?: Float64Array;
  /** [3] with a curve, the place its end aims at where the request permitted several, m, world */
  readonly place?: readonly [number, number, number];
}
