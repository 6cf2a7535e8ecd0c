/** Sizes that look like a wrong unit, or a target that lies outside everything: said to the user, never changed in silence. */
import { formatQuantity } from "../base/index.ts";
import { cadKindOf, guessUnit } from "../formats/index.ts";
import type { Body, MeshShape } from "../space/index.ts";
import type { ConvertedJob } from "./convert-job.ts";
import type { BodyFile } from "./schema-job.ts";

/**
 * @param entries [body] which entry of the job file it is of: the parts of one file are looked at together
 * @param files   [entry]
 * @returns remarks to confirm
 */
export function sayScale(
  { bodies, port, target }: Pick<ConvertedJob, "bodies" | "port" | "target">,
  entries: readonly number[],
  files: readonly BodyFile[],
): string[] {
  const remarks: string[] = [];
  const way = Math.sqrt(port.centre.reduce((sum, value, k) => sum + (value - (target.place[k] as number)) ** 2, 0));
  const boxes = new Map<number, Box>();
  bodies.forEach((body, k) => {
    if (body.shape.kind !== "mesh" || body.shape.corners.length === 0) return;
    const entry = entries[k] as number;
    const box = boxes.get(entry) ?? { low: [Infinity, Infinity, Infinity], high: [-Infinity, -Infinity, -Infinity], unit: body.shape.unit };
    boxes.set(entry, box);
    widen(box, body, body.shape);
  });
  let outside = 0;
  for (const [entry, { low, high, unit }] of boxes) {
    const edges = high.map((value, k) => value - (low[k] as number));
    const size = Math.sqrt(edges.reduce((sum, value) => sum + value * value, 0));
    // far more or far less than a factor that wrong units make (25.4, 1000) leaves of a fitting size
    if (size > 200 * way || size < way / 200) {
      const file = files[entry] as BodyFile;
      const kind = file.shape === "mesh" ? cadKindOf(file.file) : undefined;
      // whose unit is its own cannot be told another
      const advice =
        kind === "step" || kind === "iges"
          ? "Is the unit right that its file states? It can be changed only where the file was made."
          : `Is its unit right? ${guessUnit(Math.max(...edges) / unit)}`;
      remarks.push(`${file.name} is ${length(size)} from corner to corner, and port and target are ${length(way)} apart. ${advice}`);
    }
    if (target.place.some((value, k) => value < (low[k] as number) - 0.5 * size || value > (high[k] as number) + 0.5 * size)) outside++;
  }
  if (boxes.size > 0 && outside === boxes.size)
    remarks.push("The target lies far outside every mesh. Are its place and the meshes' placements right?");
  return remarks;
}

interface Box {
  readonly low: number[];
  readonly high: number[];
  /** m */
  readonly unit: number;
}

function widen({ low, high }: Box, { placement }: Body, { corners, unit }: MeshShape): void {
  const { at, rotation: r } = placement;
  for (let k = 0; k < corners.length; k += 3) {
    const x = (corners[k] as number) * unit;
    const y = (corners[k + 1] as number) * unit;
    const z = (corners[k + 2] as number) * unit;
    for (let axis = 0; axis < 3; axis++) {
      const value = (at[axis] as number) + (r[3 * axis] as number) * x + (r[3 * axis + 1] as number) * y + (r[3 * axis + 2] as number) * z;
      if (value < (low[axis] as number)) low[axis] = value;
      if (value > (high[axis] as number)) high[axis] = value;
    }
  }
}

function length(value: number): string {
  return formatQuantity(value, "length", "metric");
}
