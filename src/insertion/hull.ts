/**
 * Guaranteed clearance of the arm's true hull: each vertebra a cylinder, the tool a cylinder at the end.
 *
 * First bound: balls about samples of the axis, large enough to hold the cylinder and half a hinge between two samples. Where
 * that is not enough for the job, the cylinder's own surface is searched by branch and bound: a patch of it cannot be
 * nearer than its centre less the patch's radius.
 */
import type { ArmModel, Section } from "../arm/index.ts";
import { pointOf } from "../math/index.ts";
import { createPlayBound, type PlayBound } from "../rod/index.ts";
import { createSpaceAnswer, type SpaceAnswer, type SpaceModel, type SpaceWork, sampleSpace } from "../space/index.ts";

export interface HullWork {
  readonly points: Float64Array;
  readonly answer: SpaceAnswer;
  /** [sample] radius of the ball, m, and vertebra it belongs to */
  readonly ball: Float64Array;
  readonly owner: Int32Array;
  readonly patch: Float64Array;
  readonly patchAnswer: SpaceAnswer;
  readonly play: PlayBound;
  /** [vertebra] what friction could take of its clearance at the depth at hand, m */
  readonly rub: Float64Array;
}

/** Samples a vertebra, and on the tool, at the most. */
const mostTool = 64;
const perVertebra = 8;
/** Bound and found clearance of a searched cylinder differ by no more than this, m. */
const hullTolerance = 0.1e-3;
/** Beyond this the clearance is only said to be at least so much, m. */
export const clearanceReach = 0.08;

export function createHullWork(arm: ArmModel): HullWork {
  const n = perVertebra * (arm.spans + 1) + mostTool;
  return {
    points: new Float64Array(3 * n),
    answer: createSpaceAnswer(n),
    ball: new Float64Array(n),
    owner: new Int32Array(n),
    patch: new Float64Array(3 * 4),
    patchAnswer: createSpaceAnswer(4),
    play: createPlayBound(arm),
    rub: new Float64Array(arm.spans + 1),
  };
}

/**
 * Clearance of every vertebra past the exit, as a lower bound; what the job asks for is part of the space's keep.
 *
 * @param frames [vertebra, 12]
 * @param firstFree first vertebra past the exit
 * @param exclude samples of the tool nearer than this to `place` do not count (a tool that is there to touch), m; 0 for none
 * @param back length behind the tool's rear face that its thickness is taken to reach over, m; 0 for the hull as it is
 * @param spare [vertebra] written, m; +Infinity in the guide
 * @param nearest [vertebra] written, body or -1
 */
export function measureHull(
  arm: ArmModel,
  space: SpaceModel,
  frames: Float64Array,
  firstFree: number,
  place: readonly number[],
  exclude: number,
  back: number,
  spare: Float64Array,
  nearest: Int32Array,
  spaceWork: SpaceWork,
  work: HullWork,
): void {
  spare.fill(Number.POSITIVE_INFINITY);
  nearest.fill(-1);
  const count = placeBalls(arm, frames, firstFree, place, exclude, back, work);
  sampleSpace(space, work.points, count, clearanceReach, work.answer, spaceWork);
  for (let k = 0; k < count; k++) {
    const i = work.owner[k] as number;
    const value = (work.answer.distance[k] as number) - (work.ball[k] as number);
    if (value < (spare[i] as number)) {
      spare[i] = value;
      nearest[i] = work.answer.body[k] as number;
    }
  }
  const swept = back > 0 && arm.description.tool.diameter > sectionOf(arm, arm.spans).outerDiameter;
  for (let i = Math.max(firstFree, 1); i <= arm.spans; i++) {
    // a tool's thickness behind it has no surface to search: the first bound stands
    if ((spare[i] as number) > 0.5e-3 || (swept && i === arm.spans) || reachesInside(arm, frames, i, count, work)) continue;
    const section = sectionOf(arm, i);
    const body = searchCylinder(
      space,
      frames,
      i,
      -(arm.tail[i - 1] as number),
      upperFace(arm, i),
      section.outerDiameter / 2,
      spaceWork,
      work,
    );
    const tool = i === arm.spans ? searchTool(arm, space, frames, place, exclude, spaceWork, work) : none;
    const found = tool.clearance < body.clearance ? tool : body;
    if (!(found.clearance > (spare[i] as number))) continue;
    spare[i] = found.clearance;
    nearest[i] = found.body;
  }
}

/** A surface lies inside the vertebra or the tool: its own surface need not see that, so the first bound stands. */
function reachesInside(arm: ArmModel, frames: Float64Array, i: number, count: number, work: HullWork): boolean {
  const f = 12 * i;
  const tool = arm.description.tool;
  for (let k = 0; k < count; k++) {
    if (work.owner[k] !== i || (work.answer.body[k] as number) < 0) continue;
    const d = [0, 1, 2].map((r) => (work.answer.closest[3 * k + r] as number) - (frames[f + 9 + r] as number));
    const [x, y, z] = [0, 1, 2].map((c) => [0, 1, 2].reduce((sum, r) => sum + (frames[f + 3 * r + c] as number) * (d[r] as number), 0)) as [
      number,
      number,
      number,
    ];
    const inVertebra =
      z > -(arm.tail[i - 1] as number) && z < upperFace(arm, i) && x * x + y * y < (sectionOf(arm, i).outerDiameter / 2) ** 2;
    const inTool = i === arm.spans && z >= upperFace(arm, i) && z < tool.length && x * x + y * y < (tool.diameter / 2) ** 2;
    if (inVertebra || inTool) return true;
  }
  return false;
}

function sectionOf(arm: ArmModel, vertebra: number): Section {
  return arm.description.sections[arm.sectionOfSpan[Math.max(vertebra - 1, 0)] as number] as Section;
}

function upperFace(arm: ArmModel, i: number): number {
  return i < arm.spans ? (arm.lead[i] as number) : (arm.tail[i - 1] as number);
}

function placeBalls(
  arm: ArmModel,
  frames: Float64Array,
  firstFree: number,
  place: readonly number[],
  exclude: number,
  back: number,
  work: HullWork,
): number {
  let count = 0;
  const put = (i: number, z: number, radius: number): void => {
    pointOf(frames, i, 0, 0, z, work.points, 3 * count);
    work.ball[count] = radius;
    work.owner[count] = i;
    count++;
  };
  for (let i = Math.max(firstFree, 1); i <= arm.spans; i++) {
    const radius = sectionOf(arm, i).outerDiameter / 2;
    const low = -(arm.tail[i - 1] as number);
    const high = upperFace(arm, i);
    const hinge = Math.max(arm.flexible[i - 1] as number, i < arm.spans ? (arm.flexible[i] as number) : 0) / 2;
    // between the faces: steps no longer than the hinge, so that one ball radius serves both
    const pieces = Math.min(perVertebra - 1, Math.max(1, Math.ceil((high - low) / Math.max(2 * hinge, radius / 4))));
    const half = Math.max((high - low) / pieces / 2, hinge);
    for (let k = 0; k <= pieces; k++) put(i, low + ((high - low) * k) / pieces, Math.sqrt(radius * radius + half * half));
  }
  const tool = arm.description.tool;
  const face = upperFace(arm, arm.spans);
  if (tool.length > face) {
    const radius = tool.diameter / 2;
    const rear = face - (tool.diameter > sectionOf(arm, arm.spans).outerDiameter ? back : 0);
    const pieces = Math.min(mostTool - 1, Math.max(1, Math.ceil((tool.length - rear) / Math.max(radius / 2, 1e-3))));
    const half = (tool.length - rear) / pieces / 2;
    for (let k = 0; k <= pieces; k++) {
      put(arm.spans, rear + ((tool.length - rear) * k) / pieces, Math.sqrt(radius * radius + half * half));
      if (exclude > 0 && distanceTo(work.points, 3 * (count - 1), place) < exclude) count--;
    }
  }
  return count;
}

function distanceTo(points: Float64Array, o: number, place: readonly number[]): number {
  const [x, y, z] = [
    (points[o] as number) - (place[0] as number),
    (points[o + 1] as number) - (place[1] as number),
    (points[o + 2] as number) - (place[2] as number),
  ];
  return Math.sqrt(x * x + y * y + z * z);
}

/** Clearance found on a surface, and the body it is to. */
interface Found {
  readonly clearance: number;
  readonly body: number;
}

const none: Found = { clearance: Number.POSITIVE_INFINITY, body: -1 };

function searchTool(
  arm: ArmModel,
  space: SpaceModel,
  frames: Float64Array,
  place: readonly number[],
  exclude: number,
  spaceWork: SpaceWork,
  work: HullWork,
): Found {
  const tool = arm.description.tool;
  const face = upperFace(arm, arm.spans);
  let end = tool.length;
  if (exclude > 0) {
    // a tool that is there to touch: only what lies farther back from the place counts
    pointOf(frames, arm.spans, 0, 0, tool.length, work.patch, 0);
    const gap = distanceTo(work.patch, 0, place);
    end = Math.max(face, Math.min(tool.length, tool.length - (exclude - gap)));
  }
  if (end <= face) return none;
  return searchCylinder(space, frames, arm.spans, face, end, tool.diameter / 2, spaceWork, work);
}

/** One patch of a cylinder's surface: on the side (angle and height) or on a cap (angle and radius). */
interface Patch {
  cap: -1 | 0 | 1;
  a0: number;
  a1: number;
  b0: number;
  b1: number;
  bound: number;
}

/** Lower bound of the clearance of a closed cylinder about z of frame i, from z0 to z1, within `hullTolerance` of the truth. */
function searchCylinder(
  space: SpaceModel,
  frames: Float64Array,
  i: number,
  z0: number,
  z1: number,
  radius: number,
  spaceWork: SpaceWork,
  work: HullWork,
): Found {
  const open: Patch[] = [];
  let found = Number.POSITIVE_INFINITY;
  let body = -1;
  const probe = (patch: Patch): void => {
    const a = (patch.a0 + patch.a1) / 2;
    const b = (patch.b0 + patch.b1) / 2;
    const half = (patch.a1 - patch.a0) / 2;
    let reach: number;
    if (patch.cap === 0) {
      pointOf(frames, i, radius * Math.cos(a), radius * Math.sin(a), b, work.patch, 0);
      const chord = 2 * radius * Math.sin(half / 2);
      const rise = (patch.b1 - patch.b0) / 2;
      reach = Math.sqrt(chord * chord + rise * rise);
    } else {
      pointOf(frames, i, b * Math.cos(a), b * Math.sin(a), patch.cap < 0 ? z0 : z1, work.patch, 0);
      const chord = 2 * patch.b1 * Math.sin(Math.min(half, Math.PI) / 2);
      const rise = (patch.b1 - patch.b0) / 2;
      reach = Math.sqrt(chord * chord + rise * rise);
    }
    sampleSpace(space, work.patch, 1, clearanceReach, work.patchAnswer, spaceWork);
    const distance = work.patchAnswer.distance[0] as number;
    if (distance < found) {
      found = distance;
      body = work.patchAnswer.body[0] as number;
    }
    patch.bound = distance - reach;
    open.push(patch);
  };
  for (let k = 0; k < 8; k++) {
    const [a0, a1] = [(k * Math.PI) / 4, ((k + 1) * Math.PI) / 4];
    probe({ cap: 0, a0, a1, b0: z0, b1: z1, bound: 0 });
    probe({ cap: -1, a0, a1, b0: 0, b1: radius, bound: 0 });
    probe({ cap: 1, a0, a1, b0: 0, b1: radius, bound: 0 });
  }
  // a patch whose bound is near what was found cannot lower the answer by more than the tolerance
  for (let splits = 0; splits < 4000; splits++) {
    const patch = open.pop();
    if (patch === undefined) return { clearance: found - hullTolerance, body };
    if (patch.bound >= found - hullTolerance) continue;
    const middle = (patch.b0 + patch.b1) / 2;
    const turn = (patch.a0 + patch.a1) / 2;
    if ((patch.a1 - patch.a0) * (patch.cap === 0 ? radius : patch.b1) >= patch.b1 - patch.b0) {
      probe({ ...patch, a1: turn });
      probe({ ...patch, a0: turn });
    } else {
      probe({ ...patch, b1: middle });
      probe({ ...patch, b0: middle });
    }
  }
  return { clearance: open.reduce((least, patch) => Math.min(least, patch.bound), found - hullTolerance), body };
}
