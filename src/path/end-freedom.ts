/** The freedom of the end: a direction within the cone of the target. */
import { sideways } from "./find-ends.ts";
import type { RouteRequest } from "./model.ts";
import type { SmoothState } from "./smooth-model.ts";

/** Unit vectors across the end direction: the first away from the middle of the cone. */
export function endFrame(request: RouteRequest, state: SmoothState): [[number, number, number], [number, number, number]] {
  const { direction: d } = state;
  const { aim } = request;
  const along = d[0] * aim[0] + d[1] * aim[1] + d[2] * aim[2];
  const out: [number, number, number] = [along * d[0] - aim[0], along * d[1] - aim[1], along * d[2] - aim[2]];
  const size = Math.sqrt(out[0] ** 2 + out[1] ** 2 + out[2] ** 2);
  if (size < 1e-6) return sideways(d);
  const p: [number, number, number] = [out[0] / size, out[1] / size, out[2] / size];
  return [p, [d[1] * p[2] - d[2] * p[1], d[2] * p[0] - d[0] * p[2], d[0] * p[1] - d[1] * p[0]]];
}

/** The nearest unit vector within the cone. */
export function intoCone(request: RouteRequest, vector: readonly [number, number, number]): [number, number, number] {
  const size = Math.sqrt(vector[0] ** 2 + vector[1] ** 2 + vector[2] ** 2);
  const d: [number, number, number] = [vector[0] / size, vector[1] / size, vector[2] / size];
  if (request.cone < 1e-6) return [...request.aim];
  const angle = tilt(request, d);
  if (angle <= request.cone) return d;
  const { aim } = request;
  const along = d[0] * aim[0] + d[1] * aim[1] + d[2] * aim[2];
  const across = [d[0] - along * aim[0], d[1] - along * aim[1], d[2] - along * aim[2]];
  const wide = Math.sqrt(across[0]! ** 2 + across[1]! ** 2 + across[2]! ** 2);
  if (wide < 1e-12) return d;
  const limit = request.cone - 1e-9;
  const c = Math.cos(limit);
  const s = Math.sin(limit) / wide;
  return [c * aim[0] + s * across[0]!, c * aim[1] + s * across[1]!, c * aim[2] + s * across[2]!];
}

/** Angle of a unit vector from the middle of the cone, rad. */
export function tilt(request: RouteRequest, d: readonly [number, number, number]): number {
  return Math.acos(Math.min(1, Math.max(-1, d[0] * request.aim[0] + d[1] * request.aim[1] + d[2] * request.aim[2])));
}
