/**
 * The arm as the solver sees it: a chain of spans between vertebrae, in flat arrays.
 *
 * Span i joins vertebra i to vertebra i + 1: rigid lead, flexible length, rigid tail. Its four strains are
 * (ux, uy, uz, e): bending about x and y, twist about z (rad/m) and axial strain (1), uniform over the flexible length.
 */
import type { ArmDescription } from "./description.ts";

/** Readonly, no methods, can be posted to a worker. Made by `createArm`. */
export interface ArmModel {
  readonly description: ArmDescription;
  /** number of spans; vertebrae are spans + 1, the first is the base */
  readonly spans: number;
  readonly cables: number;
  readonly sections: number;
  /** [span] rigid length after the lower vertebra's centre, m */
  readonly lead: Float64Array;
  /** [span] flexible length, m */
  readonly flexible: Float64Array;
  /** [span] rigid length before the upper vertebra's centre, m */
  readonly tail: Float64Array;
  /** [vertebra] distance of the vertebra's centre from the base along the straight arm, m */
  readonly along: Float64Array;
  /** [span, 16] stiffness a unit flexible length, 4 x 4 symmetric, row-major, SI */
  readonly stiffness: Float64Array;
  /** [span, 4] rods lengthened by twist: coefficients of (ux, uy, e) * uz^2, and of uz^4 / 2, a unit flexible length */
  readonly twistStretch: Float64Array;
  /** [span, 2] greatest angle of the joint, rad, and what it takes to turn it further, N m/rad */
  readonly stop: Float64Array;
  /** [span, 3] play of the joint: about any axis across, about the arm's own, rad; and, from the cables' room in their holes, a share of its bend */
  readonly play: Float64Array;
  /** how far the guide's play lets the arm stand aside at the exit, m, and tilt about it, rad */
  readonly guidePlay: readonly [aside: number, tilt: number];
  /** [36] root L of the compliance of the guide's exit, L L' the one in `ArmBase`, lower triangular; empty when it is rigid */
  readonly baseRoot: Float64Array;
  /** [span, 4] strains at rest */
  readonly rest: Float64Array;
  /** [span, 4] 1 where the strain is free, 0 where it is locked at rest */
  readonly freeStrain: Uint8Array;
  /** [span] section it belongs to */
  readonly sectionOfSpan: Int32Array;
  /** [section + 1] first span of each section, and the end */
  readonly firstSpan: Int32Array;
  /** [section + 1] first cable of each section, and the end; a section's cables end at its last vertebra */
  readonly firstCable: Int32Array;
  /** [cable] section it belongs to */
  readonly sectionOfCable: Int32Array;
  /** [cable] hole position in the cross-section, m */
  readonly cableX: Float64Array;
  readonly cableY: Float64Array;
  /** [cable] axial stiffness EA of the strand, N */
  readonly cableEA: Float64Array;
  /** [cable] least tension it is held at, N */
  readonly pretension: Float64Array;
  /** [cable] working load: breaking load x termination x what the holes' edges leave / design factor, N */
  readonly workingLoad: Float64Array;
  /** friction of a cable in the holes and in its conduit: low, nominal, high, 1; the conduit's turning, rad */
  readonly holeFriction: Float64Array;
  readonly conduitFriction: Float64Array;
  readonly conduitTurn: number;
  /** [span] moment that hoses keep back a radian of the joint's bend, N m/rad */
  readonly hoseLoss: Float64Array;
  /** [span] moment that the joint keeps back a newton through it, friction at its high end, m */
  readonly jointRub: Float64Array;
  /** [vertebra] mass of vertebra, rods, cables and hoses gathered there (the tool comes apart), kg */
  readonly mass: Float64Array;
  /** [vertebra] solid volume of the same parts (what they displace under water), m^3 */
  readonly volume: Float64Array;
  /** [vertebra] outer diameter, m */
  readonly width: Float64Array;
  /** volume the tool displaces, m^3, and where its middle lies along the tip's z, m */
  readonly toolVolume: number;
  readonly toolMiddle: number;
  /** [rod, 5] x, y, diameter, effective length, clamped (1) or sliding (0), m, of all sections, unturned */
  readonly rod: Float64Array;
  /** whether any rod has a softer line beyond its straight one */
  readonly softens: boolean;
  /** [rod, 2] modulus lost beyond the straight line, Pa (0: none), and the strain where that begins, 1 */
  readonly soft: Float64Array;
  /** [section + 1] first rod of each section, and the end */
  readonly firstRod: Int32Array;
  /** [span] 1 where the rods are turned by 90 degrees */
  readonly turned: Uint8Array;
}
