/** Everything a solve writes. Made once from the arm, one a thread; nothing in it changes a result. */
import type { ArmModel } from "../arm/index.ts";
import { cableStiffness } from "./cable-stiffness.ts";
import { createKernelArrays, type Kernel } from "./kernel.ts";

/** A rim is a polygon of so many corners: between two of them up to 3.4 % of its radius may be in a wall. */
export const cornersOfRim = 12;

export interface RodWork {
  /** the inner loops in WebAssembly; absent: the plain way. Not among those that a clone of the work copies, which so goes the plain way. */
  readonly kernel?: Kernel;
  /** first span that is free, and its free lead and flexible length */
  firstFree: number;
  /** [span] lead and flexible length as they stand with the guide where it is, m */
  readonly lead: Float64Array;
  readonly flexible: Float64Array;
  /** [vertebra, 12] */
  readonly frame: Float64Array;
  /** [span, 9] rotation over the span; [span, 3] translation over it, m, lower frame */
  readonly turn: Float64Array;
  readonly shift: Float64Array;
  /** [span, 6, 4] motion of the upper vertebra a unit strain, upper frame */
  readonly reach: Float64Array;
  /** [span, cable, 4] change of each cable's length a unit strain, m */
  readonly cableRate: Float64Array;
  /** [span, cable, 4] direction of each cable into the span's upper vertebra, upper frame, and one over its length, 1/m */
  readonly cableLine: Float64Array;
  /** [cable] length over the free spans, m */
  readonly cableLength: Float64Array;
  /** [section, 2] bend of each section from its cables, rad */
  readonly bend: Float64Array;
  /** [section, 2] bend a unit of the section's own effort, the other efforts kept, rad/(N m) */
  readonly bendCompliance: Float64Array;
  /** [cable, 2] weights that make bends of cable lengths, rad/m; [cable, 2] efforts a unit tension, m */
  readonly bendWeight: Float64Array;
  readonly effortArm: Float64Array;
  /** [vertebra, 6] gradient and [vertebra, 36] second derivative of the loads' potential, own frame */
  readonly loadGradient: Float64Array;
  readonly loadCurvature: Float64Array;
  /** [span, 4] gradient of the whole energy */
  readonly gradient: Float64Array;
  /** [span, 16] factored (LDL', the inverse of D on the diagonal) and [span, 24] gains of the sweep */
  readonly pivot: Float64Array;
  readonly gain: Float64Array;
  /** [span, 4] the inverse of D once more, in one row */
  readonly weight: Float64Array;
  /** how much of each strain's own stiffness the factored tangent has on top, 1 */
  lift: number;
  /** pivots below zero met in the last factoring */
  negative: number;
  /** energy, J */
  energy: number;
  /** number of columns that fit */
  readonly columns: number;
  /** [column, span, 4] right-hand sides, then solutions */
  readonly column: Float64Array;
  /** [column] last + 1 span whose right-hand side is not zero */
  readonly columnEnd: Int32Array;
  /** [column, 6] wrench on the tip vertebra that goes with the column, its own axes */
  readonly columnTip: Float64Array;
  /** [column, 6] motion of the first free vertebra that goes with the column */
  readonly columnBase: Float64Array;
  /** [column, 6] wrench that a reduced column leaves on the first free vertebra */
  readonly columnFoot: Float64Array;
  /** a base that gives (see give-base.ts): its six unknowns (those of the state that is solved), where a search started, and motion of the exit by them */
  hasBase: boolean;
  base: Float64Array;
  readonly baseSaved: Float64Array;
  readonly baseStep: Float64Array;
  readonly baseMotion: Float64Array;
  /** [12] rotation and translation of that motion; [12] the exit's frame at rest; [36] root of the compliance in the arm's axes; length up to the exit, m */
  readonly baseTurn: Float64Array;
  readonly exitFrame: Float64Array;
  readonly baseRoot: Float64Array;
  exit: number;
  /** [36] motion of the first free vertebra a unit of each; [36] second derivative of all that hangs on it; [6] push on the unknowns; [36] what they give */
  readonly footReach: Float64Array;
  readonly footCurvature: Float64Array;
  readonly footPush: Float64Array;
  readonly footGive: Float64Array;
  readonly footWork: Float64Array;
  readonly footPivots: Int32Array;
  /** [column, 6] right-hand sides of the base, then solutions */
  readonly columnRoot: Float64Array;
  /** [6] the base's part of a step that friction corrects */
  readonly rootStep: Float64Array;
  /** [6] what a cold start or walls that harden fall back to */
  readonly keptBase: Float64Array;
  /** [column, vertebra, 6] motion of every vertebra */
  readonly motion: Float64Array;
  /** dense systems of the cables */
  readonly dense: Float64Array;
  readonly denseRight: Float64Array;
  readonly pivots: Int32Array;
  /** [2 section + 1, vertebra, 6] motion of every vertebra a unit bend (rad) of each section, and a unit base roll */
  readonly response: Float64Array;
  /** [2 section + 1, 6] the same of the tip vertebra alone, as `heldTipResponse` writes it */
  readonly tipResponse: Float64Array;
  /** the columns and `dense` hold efforts and bends of the tangent as it stands, see `gatherModes` */
  gathered: boolean;
  /** [36] part of the tip load's second derivative that has no potential */
  readonly tipSkew: Float64Array;
  /** [2, vertebra + 1, 3] drag of the current on each vertebra and, last, on the tool; then friction of the walls on them, N, world */
  readonly drag: Float64Array;
  /** [12, 2, vertebra + 1, 3] what drag.ts keeps of the tries before */
  readonly dragTried: Float64Array;
  hasSkew: boolean;
  /** [rim] its vertebra, its height on that one's z and its radius, m; radius below 0: there is no such rim */
  readonly rimVertebra: Int32Array;
  readonly rimHeight: Float64Array;
  readonly rimRadius: Float64Array;
  /** [rim, 5] as in the state */
  readonly side: Float64Array;
  /** [rim, 3], [rim], [rim, 3] middles of the rims, their distances and gradients */
  readonly rimPoint: Float64Array;
  readonly rimDistance: Float64Array;
  readonly rimGradient: Float64Array;
  /** [rim] the nearest wall */
  readonly rimWall: Int32Array;
  /** [corner] its rim; [corner, 3] its place on the vertebra, [corner, 3] in the world, its distance and gradient */
  readonly cornerRim: Int32Array;
  readonly cornerAt: Float64Array;
  readonly cornerPoint: Float64Array;
  readonly cornerDistance: Float64Array;
  readonly cornerGradient: Float64Array;
  /** [corner, 2] the wall that a sample is of */
  readonly sampleWall: Int32Array;
  /** [corner, 2, 3] places a little aside of those that press, their distances and gradients */
  readonly asidePoint: Float64Array;
  readonly asideDistance: Float64Array;
  readonly asideGradient: Float64Array;
  /** share of the walls' stiffness that is on, 1 but while they harden */
  wallShare: number;
  /** [span, 4] strains and [section, 2] efforts a line search started from */
  readonly lineStrain: Float64Array;
  readonly lineEffort: Float64Array;
  /** [section, 2] efforts a solve started from */
  readonly startEffort: Float64Array;
  /** [vertebra + 1, 3] force of the walls on each vertebra and, last, on the tool, N, world */
  readonly contact: Float64Array;
  /** [vertebra + 1] sum of the sizes of the forces that make it, N, and [vertebra + 1, 3] their mean place, own frame, m */
  readonly pressed: Float64Array;
  readonly pressedAt: Float64Array;
  /** [vertebra + 1, 3] where friction acts while a shape is balanced, own frame, m */
  readonly rubAt: Float64Array;
  /** whether any cable rubs, and the coefficients that solves take: holes, conduit */
  hasGrip: boolean;
  readonly friction: Float64Array;
  /** [span + 1, cable] as in the state */
  readonly grip: Float64Array;
  /** [span, cable] tension over its entry tension, 1 */
  readonly share: Float64Array;
  /** [cable] length over the free spans, each piece times its share, m */
  readonly weighted: Float64Array;
  /** [cable] how far the cable gives at its drive a newton at its entry, m/N */
  readonly give: Float64Array;
  /** [cable] entry tension at which its slackest place is at the pretension, N */
  readonly floor: Float64Array;
  /** small scratch: named by their users */
  readonly scratch: Float64Array;
  /** [cable, 2] change of tension a unit effort of its section, 1/m */
  readonly tensionRate: Float64Array;
  /** [cable, 2] the same when the dense system of efforts and bends was factored */
  readonly factoredRate: Float64Array;
  /** share of every load that is on, 1 but while a cold start grows it */
  loadShare: number;
  /** what a cold start falls back to: [span, 4] strains, [section, 2] efforts */
  readonly keptStrain: Float64Array;
  readonly keptEffort: Float64Array;
  /** [cable] or [section, 2] what the drives are asked at that share */
  readonly asked: Float64Array;
  /** [span, cable, 8] change of the logarithm of the share a unit strain of the span: by the angle at its lower hole, and at its upper one */
  readonly shareRate: Float64Array;
  /** [span, cable] change of the logarithm of the share, and [cable] where the share is least, by a step */
  readonly shareChange: Float64Array;
  readonly floorChange: Float64Array;
  /** [cable] change of the entry tension by it, N */
  readonly tensionChange: Float64Array;
  /** [section, 2] changes of the bends by a column, rad */
  readonly bendChange: Float64Array;
  /** [section, 2] efforts' part of a step, N m */
  readonly effortStep: Float64Array;
  /** [span, 4] a step, and the strains it started from */
  readonly step: Float64Array;
  readonly saved: Float64Array;
}

/** @param options `plain`: without WebAssembly, as where there is none */
export function createRodWork(arm: ArmModel, options: { readonly plain?: boolean } = {}): RodWork {
  const n = arm.spans;
  const c = arm.cables;
  // right-hand sides at once: residual, efforts and bends or cables' forces and rates, six of a tip wrench, six more when it has no potential
  const columns = Math.max(4 * arm.sections + 1, 2 * c + 6) + 7;
  const rims = 2 * (n + 1);
  const corners = cornersOfRim * rims;
  const { arrays, columnEnd, kernel } = createKernelArrays(arm, columns, options.plain === true);
  const work: RodWork = {
    firstFree: 0,
    lead: arrays.lead,
    flexible: arrays.flexible,
    frame: arrays.frame,
    turn: arrays.turn,
    shift: arrays.shift,
    reach: arrays.reach,
    cableRate: arrays.cableRate,
    cableLine: arrays.cableLine,
    cableLength: arrays.cableLength,
    bend: arrays.bend,
    bendCompliance: new Float64Array(2 * arm.sections),
    bendWeight: arrays.bendWeight,
    effortArm: new Float64Array(2 * c),
    loadGradient: arrays.loadGradient,
    loadCurvature: arrays.loadCurvature,
    gradient: arrays.gradient,
    pivot: arrays.pivot,
    gain: arrays.gain,
    weight: arrays.weight,
    lift: 0,
    negative: 0,
    energy: 0,
    columns,
    column: arrays.column,
    columnEnd,
    columnTip: arrays.columnTip,
    columnBase: arrays.columnBase,
    columnFoot: arrays.columnFoot,
    hasBase: false,
    base: new Float64Array(6),
    baseSaved: new Float64Array(6),
    baseStep: new Float64Array(6),
    baseMotion: new Float64Array(6),
    baseTurn: new Float64Array(12),
    exitFrame: new Float64Array(12),
    baseRoot: new Float64Array(36),
    exit: 0,
    footReach: new Float64Array(36),
    footCurvature: new Float64Array(36),
    footPush: new Float64Array(6),
    footGive: new Float64Array(36),
    footWork: new Float64Array(72),
    footPivots: new Int32Array(6),
    columnRoot: new Float64Array(6 * columns),
    rootStep: new Float64Array(6),
    keptBase: new Float64Array(6),
    motion: arrays.motion,
    dense: arrays.dense,
    denseRight: arrays.denseRight,
    pivots: new Int32Array(columns),
    response: new Float64Array(6 * (n + 1) * (2 * arm.sections + 1)),
    tipResponse: new Float64Array(6 * (2 * arm.sections + 1)),
    gathered: false,
    tipSkew: new Float64Array(36),
    drag: new Float64Array(6 * (n + 2)),
    dragTried: new Float64Array(72 * (n + 2)),
    hasSkew: false,
    rimVertebra: new Int32Array(rims),
    rimHeight: new Float64Array(rims),
    rimRadius: new Float64Array(rims).fill(-1),
    side: new Float64Array(5 * rims),
    rimPoint: new Float64Array(3 * rims),
    rimDistance: new Float64Array(rims),
    rimGradient: new Float64Array(3 * rims),
    rimWall: new Int32Array(rims),
    cornerRim: new Int32Array(corners),
    cornerAt: new Float64Array(3 * corners),
    cornerPoint: new Float64Array(3 * corners),
    cornerDistance: new Float64Array(corners),
    cornerGradient: new Float64Array(3 * corners),
    sampleWall: new Int32Array(2 * corners),
    asidePoint: new Float64Array(6 * corners),
    asideDistance: new Float64Array(2 * corners),
    asideGradient: new Float64Array(6 * corners),
    wallShare: 1,
    lineStrain: new Float64Array(4 * n),
    lineEffort: new Float64Array(2 * arm.sections),
    startEffort: new Float64Array(2 * arm.sections),
    contact: new Float64Array(3 * (n + 2)),
    pressed: new Float64Array(n + 2),
    pressedAt: new Float64Array(3 * (n + 2)),
    rubAt: new Float64Array(3 * (n + 2)),
    hasGrip: false,
    friction: arrays.friction,
    grip: arrays.grip,
    share: arrays.share.fill(1),
    weighted: arrays.weighted,
    give: arrays.give,
    floor: arrays.floor,
    scratch: arrays.scratch,
    tensionRate: new Float64Array(c * 2),
    factoredRate: new Float64Array(c * 2),
    loadShare: 1,
    keptStrain: new Float64Array(4 * n),
    keptEffort: new Float64Array(2 * arm.sections),
    asked: new Float64Array(Math.max(c, 2 * arm.sections)),
    shareRate: arrays.shareRate,
    shareChange: arrays.shareChange,
    floorChange: arrays.floorChange,
    tensionChange: arrays.tensionChange,
    bendChange: arrays.bendChange,
    effortStep: new Float64Array(2 * arm.sections),
    step: new Float64Array(4 * n),
    saved: new Float64Array(4 * n),
  };
  if (kernel !== undefined) Object.defineProperty(work, "kernel", { value: kernel });
  work.floor.set(arm.pretension);
  for (let k = 0; k < c; k++) work.give[k] = 1 / cableStiffness(arm, k);
  fillBendWeights(arm, work);
  listRims(arm, work);
  return work;
}

/** Both rims of each vertebra, and of the tool where it stands out; a vertebra without thickness has one. */
function listRims(arm: ArmModel, work: RodWork): void {
  const n = arm.spans;
  const { tool } = arm.description;
  for (let i = 1; i <= n + 1; i++) {
    const v = Math.min(i, n);
    const face = arm.tail[n - 1] as number;
    const below = i > n ? face : -(arm.tail[i - 1] as number);
    const above = i > n ? tool.length : i < n ? (arm.lead[i] as number) : face;
    const radius = (i > n ? tool.diameter : (arm.width[i] as number)) / 2;
    const r = 2 * (i - 1);
    work.rimVertebra[r] = v;
    work.rimVertebra[r + 1] = v;
    work.rimHeight[r] = below;
    work.rimHeight[r + 1] = above;
    if (i > n && !(above > below)) continue;
    work.rimRadius[r + 1] = radius;
    if (above > below && (i <= n || radius > 0)) work.rimRadius[r] = radius;
  }
}

/**
 * A section bent by (bx, by) lengthens its cable at (x, y) by y bx - x by, plus what all its cables share. The weights
 * give (bx, by) back by least squares over the section's own cables; the efforts are the moments a unit tension makes.
 */
function fillBendWeights(arm: ArmModel, work: RodWork): void {
  for (let j = 0; j < arm.sections; j++) {
    const first = arm.firstCable[j] as number;
    const end = arm.firstCable[j + 1] as number;
    const m = end - first;
    let meanX = 0;
    let meanY = 0;
    for (let c = first; c < end; c++) {
      meanX += (arm.cableX[c] as number) / m;
      meanY += (arm.cableY[c] as number) / m;
    }
    let xx = 0;
    let xy = 0;
    let yy = 0;
    for (let c = first; c < end; c++) {
      const x = (arm.cableX[c] as number) - meanX;
      const y = (arm.cableY[c] as number) - meanY;
      xx += x * x;
      xy += x * y;
      yy += y * y;
    }
    const det = xx * yy - xy * xy;
    for (let c = first; c < end; c++) {
      const x = (arm.cableX[c] as number) - meanX;
      const y = (arm.cableY[c] as number) - meanY;
      work.bendWeight[2 * c] = (xx * y - xy * x) / det;
      work.bendWeight[2 * c + 1] = -(yy * x - xy * y) / det;
      // pulling a cable shortens it: the effort that bends by +bx is the one whose cable length falls
      work.effortArm[2 * c] = -(arm.cableY[c] as number);
      work.effortArm[2 * c + 1] = arm.cableX[c] as number;
    }
  }
}
