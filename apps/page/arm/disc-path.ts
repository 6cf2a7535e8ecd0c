/** Vertebrae from the side as one path: a disc is a box with its corners off. */
import type { ArmPicture } from "../../worker/index.ts";

/** @param x px of a distance along the arm @param middle px of the axis @param scale px a metre */
export function discPath(
  arm: ArmPicture,
  first: number,
  last: number,
  x: (along: number) => number,
  middle: number,
  scale: number,
): string {
  let path = "";
  for (let v = first; v <= last; v++) {
    const along = arm.along[v] as number;
    const from = x(along - (arm.below[v] as number));
    const to = x(along + (arm.above[v] as number));
    const half = 0.5 * (arm.diameter[v] as number) * scale;
    path += `M${round(from)},${round(middle - half)}H${round(to)}V${round(middle + half)}H${round(from)}Z`;
  }
  return path;
}

function round(value: number): number {
  return Math.round(10 * value) / 10;
}
