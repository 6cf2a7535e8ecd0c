/** What is taken of the surfaces themselves. */
import { formatQuantity } from "../base/index.ts";
import type { Body } from "../space/index.ts";

/** Bodies that are named; the parts of one file count as one. */
const mostNamed = 4;

export function assumeSurfaces(bodies: readonly Body[]): string {
  const off = new Map<string, number>();
  for (const { name, shape } of bodies) {
    if (shape.kind !== "mesh" || shape.tolerance === undefined) continue;
    const whole = name.split(" / ")[0] as string;
    off.set(whole, Math.max(off.get(whole) ?? 0, shape.tolerance));
  }
  if (off.size === 0) return "Surfaces are where the files and drawings say.";
  const named = [...off].slice(0, mostNamed).map(([name, tolerance]) => `${name} ${formatQuantity(tolerance, "length", "metric")}`);
  const more = off.size > mostNamed ? ` and ${off.size - mostNamed} more` : "";
  return `Surfaces are where the files and drawings say but for their tolerance, which is kept free: ${named.join(", ")}${more}. Where such a body is leaned on, the arm leans on the triangles.`;
}
