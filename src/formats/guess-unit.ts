/** What unit a mesh is likely in, from its size alone: words to offer, never a change. */
import { formatQuantity } from "../base/index.ts";

/** Units that files are drawn in, likeliest first among equals; metres each. */
const units: readonly (readonly [string, number])[] = [["mm", 1e-3], ["m", 1], ["in", 0.0254], ["cm", 1e-2], ["um", 1e-6]]; // biome-ignore format: one row

/** Machines that an arm enters are a few centimetres to some tens of metres across: common practice, no source. */
const usual = [0.05, 30] as const;

/**
 * @param extent  longest edge of the mesh's bounding box, file unit, > 0
 * @returns a sentence with the likely units and the sizes they make, or that none fits
 */
export function guessUnit(extent: number): string {
  const size = (metres: number): string => formatQuantity(extent * metres, "length", "metric");
  const likely = units.filter(([, metres]) => extent * metres >= usual[0] && extent * metres <= usual[1]);
  const across = `The mesh is ${Number(extent.toPrecision(4))} of its own units across`;
  if (likely.length === 0) return `${across}: no usual unit makes a machine's size of it (as mm it is ${size(1e-3)}, as m ${size(1)}).`;
  return `${across}: ${likely.map(([name, metres]) => `as ${name} it is ${size(metres)}`).join(", ")}.`;
}
