/** Sizes that look like a wrong unit, or a target that lies outside everything: said to the user, never changed in silence. */
import { formatQuantity } from "../base/index.ts";
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
    const guess = guessFactor(size / way);
    if (guess !== undefined) {
      remarks.push(
        `${body.name} is ${length(size)} from corner to corner, and port and target are ${length(way)} apart. ` +
          `Is its unit right? ${guess > 1 ? "A larger" : "A smaller"} one would make it ${length(size * guess)}.`,
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

/** 1000 and 25.4 are the factors that wrong units make. */
function guessFactor(ratio: number): number | undefined {
  if (ratio > 200) return 1e-3;
  if (ratio > 0 && ratio < 1 / 200) return 1e3;
  return undefined;
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
