/** How far every vertebra may be from where it is computed, all play taken one way: of the joints, of the guide, and of the port's place. */
import type { ArmModel, Section } from "../arm/index.ts";

/** How far the guide's exit may be from where it is said to be. */
export interface SeatTolerance {
  /** m, >= 0, any way */
  readonly shift: number;
  /** rad, >= 0, about any axis across the port's */
  readonly tilt: number;
}

/** Bounds: no play, however it falls, moves farther. One array per quantity, made once and overwritten. */
export interface PlayBound {
  /** [vertebra] greatest motion of any place of its hull (the last: with the tool), m; 0 in the guide but for guide and port */
  readonly hull: Float64Array;
  /** [3] greatest motion of the tool point, m: by the joints, by the guide's play, by the port */
  readonly tip: Float64Array;
  /** [3] greatest turn of the tool's direction, rad, by the same */
  readonly aim: Float64Array;
  /** [1] greatest twist of the tip about its own axis by the joints, rad */
  readonly twist: Float64Array;
}

export function createPlayBound(arm: ArmModel): PlayBound {
  return {
    hull: new Float64Array(arm.spans + 1),
    tip: new Float64Array(3),
    aim: new Float64Array(3),
    twist: new Float64Array(1),
  };
}

/** Whether anything is loose at all. */
export function isLoose(arm: ArmModel, port: SeatTolerance): boolean {
  return port.shift > 0 || port.tilt > 0 || arm.guidePlay[0] > 0 || arm.guidePlay[1] > 0 || arm.play.some((value) => value > 0);
}

/**
 * Joint after joint from the guide on is turned by all its play: what is beyond turns rigidly with it, so a place moves by no more than the
 * play times its distance from the joint, whichever way, and whatever the joints before did. The sum over all joints is the bound; a
 * straight arm whose joints all turn one way about one axis reaches it but for the square of the angle. About the arm's axis
 * the distance is that from the joint's axis; a hull is round, so a twist about its own axis does not count.
 *
 * @param frames [vertebra, 12] of a solved shape
 * @param firstFree first vertebra past (or at) the guide's exit
 * @param exit [3] the guide's exit, m, world
 * @param port of the place of the exit
 * @param out every entry is overwritten
 * @see docs/sources.md#play
 */
export function playDisplacement(
  arm: ArmModel,
  frames: Float64Array,
  firstFree: number,
  exit: ArrayLike<number>,
  port: SeatTolerance,
  out: PlayBound,
): void {
  const n = arm.spans;
  const { tool } = arm.description;
  const [aside, tilt] = arm.guidePlay;
  const f = 12 * n;
  const tipX = (frames[f + 9] as number) + tool.length * (frames[f + 2] as number);
  const tipY = (frames[f + 10] as number) + tool.length * (frames[f + 5] as number);
  const tipZ = (frames[f + 11] as number) + tool.length * (frames[f + 8] as number);
  const toTip = distance(tipX, tipY, tipZ, exit[0] as number, exit[1] as number, exit[2] as number);
  out.hull.fill(0);
  out.tip.fill(0);
  out.aim.fill(0);
  out.tip[1] = aside + tilt * toTip;
  out.tip[2] = port.shift + port.tilt * toTip;
  out.aim[1] = tilt;
  out.aim[2] = port.tilt;
  out.twist[0] = 0;
  const toolRadius = tool.diameter / 2;
  for (let v = 0; v <= n; v++) {
    const o = 12 * v + 9;
    const size = hullRadius(arm, v);
    const away = distance(
      frames[o] as number,
      frames[o + 1] as number,
      frames[o + 2] as number,
      exit[0] as number,
      exit[1] as number,
      exit[2] as number,
    );
    const reach = v === n ? Math.max(away + size, toTip + toolRadius) : away + size;
    out.hull[v] = aside + port.shift + (tilt + port.tilt) * reach;
  }
  for (let i = firstFree; i < n; i++) turnJoint(arm, frames, i, tipX, tipY, tipZ, out);
}

/** Adds what the play of joint i does to all beyond it. */
function turnJoint(arm: ArmModel, frames: Float64Array, i: number, tipX: number, tipY: number, tipZ: number, out: PlayBound): void {
  const n = arm.spans;
  const f = 12 * i;
  const ax = frames[f + 2] as number;
  const ay = frames[f + 5] as number;
  const az = frames[f + 8] as number;
  const bent = angleBetween(frames, i, i + 1);
  const bend = (arm.play[3 * i] as number) + (arm.play[3 * i + 2] as number) * bent;
  const twist = arm.play[3 * i + 1] as number;
  if (bend === 0 && twist === 0) return;
  // from the lower face of the hinge: anywhere in it is nearer to what moves
  const lead = arm.lead[i] as number;
  const px = (frames[f + 9] as number) + lead * ax;
  const py = (frames[f + 10] as number) + lead * ay;
  const pz = (frames[f + 11] as number) + lead * az;
  const toolRadius = arm.description.tool.diameter / 2;
  for (let v = i + 1; v <= n; v++) {
    const o = 12 * v;
    const dx = (frames[o + 9] as number) - px;
    const dy = (frames[o + 10] as number) - py;
    const dz = (frames[o + 11] as number) - pz;
    const along = dx * ax + dy * ay + dz * az;
    const square = dx * dx + dy * dy + dz * dz;
    const slant = sineTo(frames, o, ax, ay, az);
    const size = hullRadius(arm, v);
    let most = bend * (Math.sqrt(square) + size) + twist * (Math.sqrt(Math.max(0, square - along * along)) + slant * size);
    if (v === n) {
      const tx = tipX - px;
      const ty = tipY - py;
      const tz = tipZ - pz;
      const far = Math.sqrt(tx * tx + ty * ty + tz * tz);
      const ahead = tx * ax + ty * ay + tz * az;
      const off = Math.sqrt(Math.max(0, far * far - ahead * ahead));
      most = Math.max(most, bend * (far + toolRadius) + twist * (off + slant * toolRadius));
      out.tip[0] = (out.tip[0] as number) + bend * far + twist * off;
      out.aim[0] = (out.aim[0] as number) + bend + twist * slant;
      out.twist[0] = (out.twist[0] as number) + twist;
    }
    out.hull[v] = (out.hull[v] as number) + most;
  }
}

/** Farthest place of a vertebra from its centre, m. */
function hullRadius(arm: ArmModel, v: number): number {
  const section = arm.description.sections[arm.sectionOfSpan[Math.max(v - 1, 0)] as number] as Section;
  const face = Math.max(v > 0 ? (arm.tail[v - 1] as number) : 0, v < arm.spans ? (arm.lead[v] as number) : 0);
  const radius = section.outerDiameter / 2;
  return Math.sqrt(radius * radius + face * face);
}

/** Angle between the axes of two vertebrae, rad. */
function angleBetween(frames: Float64Array, a: number, b: number): number {
  const o = 12 * a;
  return Math.asin(Math.min(1, sineTo(frames, 12 * b, frames[o + 2] as number, frames[o + 5] as number, frames[o + 8] as number)));
}

/** Sine of the angle between the z axis of the frame at o and a unit vector. */
function sineTo(frames: Float64Array, o: number, x: number, y: number, z: number): number {
  const zx = frames[o + 2] as number;
  const zy = frames[o + 5] as number;
  const zz = frames[o + 8] as number;
  const cx = zy * z - zz * y;
  const cy = zz * x - zx * z;
  const cz = zx * y - zy * x;
  return Math.sqrt(cx * cx + cy * cy + cz * cz);
}

function distance(ax: number, ay: number, az: number, bx: number, by: number, bz: number): number {
  return Math.sqrt((ax - bx) ** 2 + (ay - by) ** 2 + (az - bz) ** 2);
}
