/** Fluid and walls in the second computation of the balance: nothing of the solver is used, walls are sampled place by place. */
import type { ArmModel } from "../arm/index.ts";
import { sampleWall } from "../math/index.ts";
import { addPull, type Bench, toWorld } from "./balance-bench.ts";
import type { Fluid, Load, RodState, Walls } from "./model.ts";

/** What the fluid does to vertebra i, or to the tool on the last one: a ball's cap under the surface, and the flow across the body. */
export function addFluid(arm: ArmModel, fluid: Fluid, gravity: Load["gravity"], i: number, isTool: boolean, bench: Bench): void {
  const { frames, beyond, from, pull, lead, length } = bench;
  const { tool } = arm.description;
  const out = (k: number): number => {
    if (k >= arm.spans) return 0;
    const covered = (lead[k] as number) > (arm.lead[k] as number) * (1 + 1e-12);
    return (covered ? 0 : (arm.lead[k] as number)) + (length[k] as number) + (arm.tail[k] as number);
  };
  const long = isTool ? tool.length : (out(i - 1) + out(i)) / 2;
  const thick = isTool ? tool.diameter : (arm.width[i] as number);
  const radius = Math.max(long, thick) / 2;
  toWorld(frames, i, 0, 0, isTool ? arm.toolMiddle : 0, from);
  let wet = 1;
  if (fluid.surface !== undefined) {
    let height = 0;
    for (let k = 0; k < 3; k++) height += (fluid.surface.up[k] as number) * ((from[k] as number) - (fluid.surface.at[k] as number));
    const cap = Math.min(Math.max(radius - height, 0), 2 * radius);
    wet = radius > 0 ? ((Math.PI * cap * cap * (3 * radius - cap)) / 3 / (4 * Math.PI * radius ** 3)) * 3 : height < 0 ? 1 : 0;
  }
  if (fluid.within !== undefined) {
    const { at, rotation, size } = fluid.within;
    const faces = [0, 1, 2].map((c) => {
      const along = [0, 1, 2].reduce((sum, k) => sum + (rotation[3 * k + c] as number) * ((from[k] as number) - (at[k] as number)), 0);
      return Math.abs(along) - (size[c] as number) / 2;
    });
    const cap = Math.min(Math.max(radius - Math.max(...faces), 0), 2 * radius);
    wet *= radius > 0 ? (cap * cap * (3 * radius - cap)) / (4 * radius ** 3) : Math.max(...faces) < 0 ? 1 : 0;
  }
  const displaced = wet * (isTool ? arm.toolVolume : (arm.volume[i] as number));
  for (let k = 0; k < 3; k++) pull[k] = -(gravity[k] as number) * fluid.density * displaced;
  addPull(beyond, bench);
  if (fluid.current === undefined) return;
  const flow = fluid.current.velocity;
  const axis = [frames[12 * i + 2], frames[12 * i + 6], frames[12 * i + 10]] as [number, number, number];
  // across the axis: axis x (flow x axis)
  const turn = cross(flow, axis);
  const across = cross(axis, turn);
  const speed = Math.sqrt(turn[0] ** 2 + turn[1] ** 2 + turn[2] ** 2);
  const scale = (fluid.density / 2) * fluid.current.dragCoefficient * wet * long * thick * speed;
  for (let k = 0; k < 3; k++) pull[k] = scale * (across[k] as number);
  if (isTool && fluid.within === undefined) toWorld(frames, i, 0, 0, tool.length / 2, from);
  addPull(beyond, bench);
}

/** What the walls do to vertebra i, or to the tool: each corner of its rims by itself, on the side its rim was left on. */
export function addWalls(arm: ArmModel, walls: Walls, state: RodState, i: number, isTool: boolean, bench: Bench): void {
  const { frames, beyond, from, pull } = bench;
  const { tool } = arm.description;
  const face = arm.tail[arm.spans - 1] as number;
  const ends = isTool ? [face, tool.length] : [-(arm.tail[i - 1] as number), i < arm.spans ? (arm.lead[i] as number) : face];
  const thick = isTool ? tool.diameter : (arm.width[i] as number);
  const thin = !((ends[1] as number) > (ends[0] as number));
  if (isTool && thin) return;
  let pressed = 0;
  const place = [0, 0, 0];
  const way = new Float64Array(3);
  for (const end of [0, 1]) {
    if (end === 0 && (thin || (isTool && thick === 0))) continue;
    const kept = state.side.subarray(5 * (2 * (isTool ? i : i - 1) + end));
    for (let corner = 0; corner < (thick > 0 ? 12 : 1); corner++) {
      const angle = (corner * Math.PI) / 6;
      toWorld(frames, i, (thick / 2) * Math.cos(angle), (thick / 2) * Math.sin(angle), ends[end] as number, from);
      for (let wall = 0; wall < walls.field.walls.length; wall++) {
        const out = depthIn(walls, wall, kept, from, way);
        if (out >= 0) continue;
        const size = -walls.stiffness * out;
        for (let k = 0; k < 3; k++) pull[k] = size * (way[k] as number);
        addPull(beyond, bench);
        pressed += size;
        for (let k = 0; k < 3; k++) place[k] = (place[k] as number) + size * (from[k] as number);
      }
    }
  }
  if (walls.friction === undefined || pressed === 0) return;
  // all friction where the pushes have their middle, against the way the arm slides
  const size = walls.friction.coefficient * pressed * (walls.friction.way === "in" ? -1 : 1);
  for (let k = 0; k < 3; k++) {
    from[k] = (place[k] as number) / pressed;
    pull[k] = size * (frames[12 * i + 4 * k + 2] as number);
  }
  addPull(beyond, bench);
}

/** Distance of a place from one wall on the side that was kept, and the way out of it into `way`. */
function depthIn(walls: Walls, wall: number, kept: Float64Array, from: Float64Array, way: Float64Array): number {
  const distance = new Float64Array(1);
  sampleWall(walls.field, wall, from, 1, distance, way, new Int32Array(1));
  const out = distance[0] as number;
  let behind = -(kept[3] as number);
  let leads = 0;
  for (let k = 0; k < 3; k++) {
    behind += (kept[k] as number) * (from[k] as number);
    leads += (kept[k] as number) * (way[k] as number);
  }
  if (wall !== kept[4] || behind >= 0 || leads >= -0.5) return out;
  const past = Math.abs(out);
  for (let k = 0; k < 3; k++) way[k] = past > -behind ? (out > 0 ? -(way[k] as number) : (way[k] as number)) : (kept[k] as number);
  return -Math.max(past, -behind);
}

function cross(a: readonly [number, number, number], b: readonly [number, number, number]): [number, number, number] {
  return [a[1] * b[2] - a[2] * b[1], a[2] * b[0] - a[0] * b[2], a[0] * b[1] - a[1] * b[0]];
}
