/** Sizes that look like a wrong unit, or a target that lies outside everything: said to the user, never changed in silence. */
import { formatQuantity } from "../base/index.ts";
import { guessUnit } from "../formats/index.ts";
import type { Body, MeshShape } from "../space/index.ts";
import type { ConvertedJob } from "./convert-job.ts";

/** @returns remarks to confirm */
export function sayScale({ bodies, port, target }: ConvertedJob): string[] {
  const remarks: string[] = [];
  const way = Math.sqrt(port.centre.reduce((sum, value, k) => sum + (value - (target.place[k] as number)) ** 2, 0));
  let meshes = 0;
  let outside = 0;
  for (const body of bodies) {
    if (body.shape.kind !== "mesh" || body.shape.corners.length === 0) continue;
    const box = boxOf(body, body.shape);
    const size = Math.sqrt(box.size.reduce((sum, value) => sum + value * value, 0));
    // far more or far less than a factor that wrong units make (25.4, 1000) leaves of a fitting size
    if (size > 200 * way || size < way / 200) {
      remarks.push(
        `${body.name} is ${length(size)} from corner to corner, and port and target are ${length(way)} apart. Is its unit right? ` +
          guessUnit(Math.max(...box.size) / body.shape.unit),
      );
    }
    meshes++;
    if (
      target.place.some(
        (value, k) => value < (box.low[k] as number) - 0.5 * size || value > (box.low[k] as number) + (box.size[k] as number) + 0.5 * size,
      )
    )
      outside++;
  }
  if (meshes > 0 && outside === meshes)
    remarks.push("The target lies far outside every mesh. Are its place and the meshes' placements right?");
  return remarks;
}

function boxOf(body: Body, shape: MeshShape): { readonly low: readonly number[]; readonly size: readonly number[] } {
  const low = [Infinity, Infinity, Infinity];
  const high = [-Infinity, -Infinity, -Infinity];
  const { at, rotation: r } = body.placement;
  for (let k = 0; k < shape.corners.length; k += 3) {
    const x = (shape.corners[k] as number) * shape.unit;
    const y = (shape.corners[k + 1] as number) * shape.unit;
    const z = (shape.corners[k + 2] as number) * shape.unit;
    for (let axis = 0; axis < 3; axis++) {
      const value = (at[axis] as number) + (r[3 * axis] as number) * x + (r[3 * axis + 1] as number) * y + (r[3 * axis + 2] as number) * z;
      if (value < (low[axis] as number)) low[axis] = value;
      if (value > (high[axis] as number)) high[axis] = value;
    }
  }
  return { low, size: high.map((value, axis) => value - (low[axis] as number)) };
}

function length(value: number): string {
  return formatQuantity(value, "length", "metric");
}
