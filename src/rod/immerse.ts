/**
 * Buoyancy and drag of a fluid about the arm.
 *
 * Every vertebra, with what hangs on it, and the tool sink into a surface as a ball as wide as they are long or thick: the share
 * under it is (2 - 3 x + x^3)/4 with x the height of the middle over the ball's radius. Deep or dry they are exact; the
 * force is a function of height with a continuous slope, so it has a potential and Newton stays exact.
 *
 * Drag is that of the flow across the body alone; a solve keeps it while it balances the shape and finds it anew after (drag.ts).
 */
import type { ArmModel } from "../arm/index.ts";
import { applyForce, at, force } from "./dead-force.ts";
import type { Fluid, Load } from "./model.ts";
import type { RodWork } from "./work.ts";

/** offsets in `work.scratch` */
const volume = 30; // displaced when deep
const radius = 31; // of the ball
const height = 32; // of its middle above the surface
const share = 33; // under the surface
const left = 34; // integral of the share from here up, m
const stiff = 35; // less share a unit height, 1/m
const length = 36; // along the body, for drag
const width = 37; // across it

/** Adds the fluid's potential to the loads', and the drag that stands in `work.drag`. The frames must be placed. */
export function immerse(arm: ArmModel, load: Load, fluid: Fluid, work: RodWork): void {
  const { scratch: w, drag } = work;
  const n = arm.spans;
  for (let i = work.firstFree + 1; i <= n + 1; i++) {
    const v = Math.min(i, n);
    measurePart(arm, i, work);
    sink(fluid, v, work);
    const kept = fluid.within !== undefined;
    if (!kept && w[volume] !== 0 && w[share] !== 0) lift(load, fluid, v, work);
    if (fluid.current === undefined && !kept) continue;
    for (let k = 0; k < 3; k++) w[force + k] = work.loadShare * (drag[3 * i + k] as number);
    if (i > n && !kept) w[at + 2] = 0.5 * arm.description.tool.length;
    applyForce(work, v);
  }
}

/**
 * Drag of the flow across the body, 1/2 rho Cd d |U| U a length, at the shape as it is placed; and the lift of a fluid that is in a box alone,
 * which has no potential either.
 *
 * @param gravity [3] m/s^2, world
 * @param out [vertebra + 1, 3] written from the first free vertebra on; the tool last, N, world
 * @see docs/sources.md#drag
 */
export function findDrag(arm: ArmModel, fluid: Fluid, gravity: Load["gravity"], out: Float64Array, work: RodWork): void {
  const { frame, scratch: w } = work;
  out.fill(0, 0, 3 * (arm.spans + 2));
  if (fluid.current === undefined && fluid.within === undefined) return;
  const n = arm.spans;
  for (let i = work.firstFree + 1; i <= n + 1; i++) {
    const v = Math.min(i, n);
    measurePart(arm, i, work);
    sink(fluid, v, work);
    if (fluid.within !== undefined) {
      const weight = fluid.density * (w[volume] as number) * (w[share] as number);
      for (let k = 0; k < 3; k++) out[3 * i + k] = -weight * (gravity[k] as number);
    }
    if (fluid.current === undefined) continue;
    const { velocity, dragCoefficient } = fluid.current;
    const o = 12 * v;
    const tx = frame[o + 2] as number;
    const ty = frame[o + 5] as number;
    const tz = frame[o + 8] as number;
    const along = velocity[0] * tx + velocity[1] * ty + velocity[2] * tz;
    const x = velocity[0] - along * tx;
    const y = velocity[1] - along * ty;
    const z = velocity[2] - along * tz;
    const area = (w[share] as number) * (w[length] as number) * (w[width] as number);
    const scale = 0.5 * fluid.density * dragCoefficient * area * Math.sqrt(x * x + y * y + z * z);
    out[3 * i] = (out[3 * i] as number) + scale * x;
    out[3 * i + 1] = (out[3 * i + 1] as number) + scale * y;
    out[3 * i + 2] = (out[3 * i + 2] as number) + scale * z;
  }
}

/** Vertebra i, or the tool beyond the last: what it displaces, and its size. */
function measurePart(arm: ArmModel, i: number, work: RodWork): void {
  const { scratch: w } = work;
  const n = arm.spans;
  w[at] = 0;
  w[at + 1] = 0;
  if (i > n) {
    const { tool } = arm.description;
    w[at + 2] = arm.toolMiddle;
    w[volume] = arm.toolVolume;
    w[length] = tool.length;
    w[width] = tool.diameter;
  } else {
    w[at + 2] = 0;
    w[volume] = arm.volume[i] as number;
    w[length] = 0.5 * (outOf(arm, i - 1, work) + (i < n ? outOf(arm, i, work) : 0));
    w[width] = arm.width[i] as number;
  }
  w[radius] = 0.5 * Math.max(w[length] as number, w[width] as number);
}

/** Length of span i that is out of the guide, m. */
function outOf(arm: ArmModel, i: number, work: RodWork): number {
  const hidden = i === work.firstFree && (work.lead[i] as number) > (arm.lead[i] as number) * (1 + 1e-12);
  return (hidden ? 0 : (arm.lead[i] as number)) + (work.flexible[i] as number) + (arm.tail[i] as number);
}

/** Share of the ball on vertebra v that is under the surface, its integral and its slope. */
function sink(fluid: Fluid, v: number, work: RodWork): void {
  const { frame, scratch: w } = work;
  w[share] = 1;
  w[left] = 0;
  w[stiff] = 0;
  if (fluid.within !== undefined) w[share] = shareWithin(fluid.within, v, work);
  if (fluid.surface === undefined) return;
  const { at: place, up } = fluid.surface;
  const o = 12 * v;
  const z = w[at + 2] as number;
  let h = 0;
  for (let k = 0; k < 3; k++)
    h += (up[k] as number) * ((frame[o + 9 + k] as number) + z * (frame[o + 3 * k + 2] as number) - (place[k] as number));
  w[height] = h;
  const r = w[radius] as number;
  const inBox = w[share] as number;
  if (h >= r) w[share] = 0;
  else if (h <= -r) w[left] = -h;
  else {
    const x = h / r;
    w[share] = (inBox * (2 - x * (3 - x * x))) / 4;
    w[left] = (r * (3 - x * (8 - x * (6 - x * x)))) / 16;
    w[stiff] = (3 * (1 - x * x)) / (4 * r);
  }
}

/** Share of the ball on vertebra v that is in a box: as of a flat surface that is as far as the box's own. */
function shareWithin(box: NonNullable<Fluid["within"]>, v: number, work: RodWork): number {
  const { frame, scratch: w } = work;
  const o = 12 * v;
  const z = w[at + 2] as number;
  let beyond = Number.NEGATIVE_INFINITY;
  for (let c = 0; c < 3; c++) {
    let along = 0;
    for (let k = 0; k < 3; k++)
      along +=
        (box.rotation[3 * k + c] as number) * ((frame[o + 9 + k] as number) + z * (frame[o + 3 * k + 2] as number) - (box.at[k] as number));
    beyond = Math.max(beyond, Math.abs(along) - (box.size[c] as number) / 2);
  }
  const r = w[radius] as number;
  if (beyond >= r) return 0;
  if (beyond <= -r) return 1;
  const x = beyond / r;
  return (2 - x * (3 - x * x)) / 4;
}

/** Buoyancy: at a surface the force is rho g V share along `up`; its potential is rho g V times the share's integral. */
function lift(load: Load, fluid: Fluid, v: number, work: RodWork): void {
  const { frame, loadCurvature, scratch: w } = work;
  const { gravity } = load;
  const weight = work.loadShare * fluid.density * (w[volume] as number);
  const o = 12 * v;
  for (let k = 0; k < 3; k++) w[force + k] = -weight * (w[share] as number) * (gravity[k] as number);
  applyForce(work, v);
  if (fluid.surface === undefined) return;
  const { up, at: place } = fluid.surface;
  const g = weight * Math.sqrt(gravity[0] * gravity[0] + gravity[1] * gravity[1] + gravity[2] * gravity[2]);
  // a force of this size kept up to the surface was counted: the place on it is where its potential is 0
  work.energy += g * ((w[left] as number) + (w[share] as number) * ((w[height] as number) + dot(up, place)));
  const slope = g * (w[stiff] as number);
  if (slope === 0) return;
  // height a unit motion of the vertebra: (c x u; u) with u = up in its frame and c on its axis
  const z = w[at + 2] as number;
  const a = (frame[o] as number) * up[0] + (frame[o + 3] as number) * up[1] + (frame[o + 6] as number) * up[2];
  const b = (frame[o + 1] as number) * up[0] + (frame[o + 4] as number) * up[1] + (frame[o + 7] as number) * up[2];
  const c = (frame[o + 2] as number) * up[0] + (frame[o + 5] as number) * up[1] + (frame[o + 8] as number) * up[2];
  const row = 40;
  w[row] = -z * b;
  w[row + 1] = z * a;
  w[row + 2] = 0;
  w[row + 3] = a;
  w[row + 4] = b;
  w[row + 5] = c;
  for (let r = 0; r < 6; r++) {
    for (let s = 0; s < 6; s++) {
      const h = 36 * v + 6 * r + s;
      loadCurvature[h] = (loadCurvature[h] as number) + slope * (w[row + r] as number) * (w[row + s] as number);
    }
  }
}

function dot(a: readonly [number, number, number], b: readonly [number, number, number]): number {
  return a[0] * b[0] + a[1] * b[1] + a[2] * b[2];
}
