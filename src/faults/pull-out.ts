/**
 * What it takes to draw the arm back by a little from where it stands, and what holds or breaks.
 *
 * The pull is what outside forces (weight, walls and their friction) put on the arm along the guide, the work of bending straight what enters the guide
 * (energy of bending a unit length: the force that a bent rod pushes itself out of a sleeve with), the friction of the guide on what it
 * bends straight and carries, and the weight of what is in it.
 *
 * @see docs/sources.md#pull-out
 */
import type { ArmModel, Section } from "../arm/index.ts";
import type { RodState, RodWork } from "../rod/index.ts";
import type { FaultsModel, Link } from "./model.ts";

export interface Pull {
  /** on the arm's base, N, 0 when it comes by itself */
  readonly force: number;
  /** the link that is nearest to its strength */
  readonly link: Link | undefined;
}

/**
 * @param isHeld whether a cable is whole and held by its drive
 * @param strain [span] greatest rod strain
 * @param work as the solve left it
 */
export function pullOut(
  { insertion, friction, guideLength }: FaultsModel,
  state: RodState,
  strain: Float64Array,
  isHeld: (cable: number) => boolean,
  work: RodWork,
): Pull {
  const { arm, load, port, launch } = insertion;
  const axis = [port[2], port[5], port[8]] as const;
  const [x, y, z] = [0, 1, 2].map((k) => load.gravity[k] as number) as [number, number, number];
  const g = Math.sqrt(x * x + y * y + z * z);
  const down = (x * (axis[0] as number) + y * (axis[1] as number) + z * (axis[2] as number)) as number;
  let inGuide = 0;
  for (let i = 0; i <= work.firstFree; i++) inGuide += arm.mass[i] as number;
  const outside = forceBeyond(arm, work.firstFree + 1, work);
  const along = dot(outside, axis);
  const across = Math.sqrt(Math.max(0, dot(outside, outside) - along * along)) + inGuide * Math.sqrt(Math.max(0, g * g - down * down));
  const [moment, energy] = bendAtExit(arm, state, work);
  const rubbed = Number.isNaN(friction) ? 0 : friction * (across + (2 * moment) / guideLength);
  // round the bends of a guide tube the pull grows as a rope's does
  const turn = launch === undefined ? 0 : turnOf(launch.tube);
  const grown = Number.isNaN(friction) ? 1 : Math.exp(friction * turn);
  const force = Math.max(0, along + inGuide * down + energy + rubbed) * grown;
  return { force, link: weakestLink(arm, force, state, strain, isHeld, work) };
}

/** @param tube [piece, 3] length, m, and curvature about x and y, 1/m @returns all its turning, rad */
function turnOf(tube: Float64Array): number {
  let turn = 0;
  for (let o = 0; o < tube.length; o += 3)
    turn += (tube[o] as number) * Math.sqrt((tube[o + 1] as number) ** 2 + (tube[o + 2] as number) ** 2);
  return turn;
}

/** [3] sum of all outside forces on the vertebrae from one on, N, world. */
function forceBeyond(arm: ArmModel, first: number, work: RodWork): [number, number, number] {
  const sum: [number, number, number] = [0, 0, 0];
  const { frame, loadGradient } = work;
  for (let i = Math.max(first, work.firstFree + 1); i <= arm.spans; i++) {
    for (let r = 0; r < 3; r++) {
      for (let k = 0; k < 3; k++)
        sum[r] = (sum[r] as number) - (frame[12 * i + 3 * r + k] as number) * (loadGradient[6 * i + 3 + k] as number);
    }
  }
  return sum;
}

/** Of the first free span: moment of its rods and hoses, N m, and their energy of bending a unit length, N. */
function bendAtExit(arm: ArmModel, state: RodState, work: RodWork): [number, number] {
  const i = work.firstFree;
  if (i >= arm.spans) return [0, 0];
  const bend = [0, 1].map((k) => (state.strain[4 * i + k] as number) - (arm.rest[4 * i + k] as number)) as [number, number];
  const moment = [0, 1].map(
    (r) => (arm.stiffness[16 * i + 4 * r] as number) * bend[0] + (arm.stiffness[16 * i + 4 * r + 1] as number) * bend[1],
  ) as [number, number];
  return [Math.sqrt(moment[0] ** 2 + moment[1] ** 2), Math.abs(moment[0] * bend[0] + moment[1] * bend[1]) / 2];
}

/** The given weak link, and every section's own: the one that the pull through it comes nearest to breaking. */
function weakestLink(
  arm: ArmModel,
  force: number,
  state: RodState,
  strain: Float64Array,
  isHeld: (cable: number) => boolean,
  work: RodWork,
): Link | undefined {
  const { pullOut } = arm.description;
  let worst: Link | undefined;
  const note = (link: Link): void => {
    if (worst === undefined || useOf(link) > useOf(worst)) worst = link;
  };
  const demandAt = (section: number): number => {
    const first = section < 0 ? 0 : (arm.firstSpan[section] as number);
    if (first <= work.firstFree) return force;
    const o = 12 * first;
    return Math.max(0, dot(forceBeyond(arm, first + 1, work), [work.frame[o + 2], work.frame[o + 5], work.frame[o + 8]]));
  };
  if (pullOut !== undefined) {
    const section = pullOut.weakLink === undefined ? -1 : arm.description.sections.findIndex(({ name }) => name === pullOut.weakLink);
    note({ kind: "given", section, strength: pullOut.strength, demand: demandAt(section) });
  }
  for (let j = 0; j < arm.sections; j++) note({ ...strengthOf(arm, j, state, strain, isHeld), section: j, demand: demandAt(j) });
  return worst;
}

/** Share of its strength that is pulled through a link. */
export function useOf({ demand, strength }: Link): number {
  return demand <= 0 ? 0 : strength > 0 ? demand / strength : Number.POSITIVE_INFINITY;
}

/**
 * What a section carries along itself: its clamped rods, by the strain that bending leaves them of what they are allowed once; where no rod is
 * clamped, the cables through it that are whole and held, by what their tension leaves them of their breaking load.
 */
function strengthOf(
  arm: ArmModel,
  j: number,
  state: RodState,
  strain: Float64Array,
  isHeld: (cable: number) => boolean,
): { kind: "rods" | "cables"; strength: number } {
  const section = arm.description.sections[j] as Section;
  const clamped = section.rods.filter((rod) => rod.attachment === "clamped");
  if (clamped.length > 0) {
    let most = 0;
    for (let i = arm.firstSpan[j] as number; i < (arm.firstSpan[j + 1] as number); i++) most = Math.max(most, strain[i] as number);
    const left = Math.min(...clamped.map((rod) => rod.material.allowedStrain)) - most;
    const stiff = clamped.reduce((sum, rod) => sum + (rod.material.youngModulus * Math.PI * rod.diameter ** 2) / 4, 0);
    return { kind: "rods", strength: Math.max(0, left) * stiff };
  }
  let sum = 0;
  for (let c = arm.firstCable[j] as number; c < arm.cables; c++)
    if (isHeld(c)) sum += Math.max(0, breakingLoad(arm, c) - (state.tension[c] as number));
  return { kind: "cables", strength: sum };
}

/** Of a cable with its termination and the edges of its holes, the design factor left out, N. */
export function breakingLoad(arm: ArmModel, cable: number): number {
  return (arm.workingLoad[cable] as number) * arm.description.cableDesignFactor;
}

function dot(a: readonly (number | undefined)[], b: readonly (number | undefined)[]): number {
  return (a[0] as number) * (b[0] as number) + (a[1] as number) * (b[1] as number) + (a[2] as number) * (b[2] as number);
}
