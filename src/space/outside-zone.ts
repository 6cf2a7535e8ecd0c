/** How far a place is from being in a zone. */
import type { Zone } from "./description.ts";

/** @returns distance to the zone, m; below 0 within it: less the way out of it */
export function outsideZone({ shape, placement }: Zone, x: number, y: number, z: number): number {
  const { at, rotation: r } = placement;
  const d = [x - at[0], y - at[1], z - at[2]] as const;
  const along = (k: number): number => r[k]! * d[0] + r[3 + k]! * d[1] + r[6 + k]! * d[2];
  const [a, b, c] = [along(0), along(1), along(2)];
  switch (shape.kind) {
    case "sphere":
      return Math.sqrt(a * a + b * b + c * c) - shape.radius;
    case "cylinder":
      return beyond([Math.sqrt(a * a + b * b) - shape.radius, Math.max(-c, c - shape.length)]);
    case "box":
      return beyond([a, b, c].map((value, i) => Math.abs(value) - shape.size[i]! / 2));
  }
}

/** From how far a place is beyond each of some faces that are square to each other. */
function beyond(faces: readonly number[]): number {
  const most = Math.max(...faces);
  return most <= 0 ? most : Math.sqrt(faces.reduce((sum, value) => sum + Math.max(0, value) ** 2, 0));
}
