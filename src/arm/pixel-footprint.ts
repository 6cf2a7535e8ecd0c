/** What one pixel of a camera covers. */
import type { Camera } from "./description.ts";

type Vector = readonly [number, number, number];

/**
 * Side of what one pixel covers of a surface square to the camera's axis, m: 2 d tan(view / 2) / pixels.
 *
 * @param depth distance along the camera's axis, m
 * @see docs/sources.md#camera
 */
export function pixelSide(camera: Camera, depth: number): number {
  return (2 * depth * Math.tan(camera.fieldOfView / 2)) / camera.pixels;
}

/** The narrower half of the field of view, rad. */
export function halfView(camera: Camera): number {
  const half = Math.tan(camera.fieldOfView / 2);
  return Math.atan(half * Math.min(1, (camera.pixelsDown ?? camera.pixels) / camera.pixels));
}

/**
 * The longest side of what one pixel covers of a tilted surface, m: the greatest stretch of the map from the picture to the surface's
 * tangent plane. On the axis it is d tan(view / 2) 2 / (pixels cos tilt).
 *
 * @param to     [3] from the camera to the place, m, any frame
 * @param axis   [3] unit vector the camera looks along, same frame
 * @param normal [3] unit vector square to the surface, same frame, either way
 * @returns Infinity where the surface is seen edge on, or the place lies behind the camera
 */
export function pixelFootprint(camera: Camera, to: Vector, axis: Vector, normal: Vector): number {
  const depth = dot(to, axis);
  const facing = Math.abs(dot(to, normal));
  if (!(depth > 0) || !(facing > 0)) return Number.POSITIVE_INFINITY;
  // a step u across the picture (on the plane one metre off) moves the place on its plane by depth (u - to (normal . u) / (normal . to))
  const across = [0, 1, 2].map((r) => (normal[r] as number) - dot(normal, axis) * (axis[r] as number)) as unknown as Vector;
  const lean = Math.sqrt(dot(across, across));
  const wide = Math.sqrt(Math.max(0, dot(to, to) - depth * depth));
  // in an orthonormal basis of the picture's plane: the 2 x 2 form of lengths, I - (n w' + w n') + |to|^2 n n', scaled by depth^2
  const n = lean / facing;
  const wn = lean > 0 ? dot(to, across) / lean : 0;
  const sign = dot(to, normal) > 0 ? 1 : -1;
  const along = 1 - 2 * sign * n * wn + n * n * dot(to, to);
  const aside = -sign * n * Math.sqrt(Math.max(0, wide * wide - wn * wn));
  const mean = (along + 1) / 2;
  const greatest = mean + Math.sqrt(((along - 1) / 2) ** 2 + aside * aside);
  return pixelSide(camera, depth) * Math.sqrt(greatest);
}

function dot(a: Vector, b: Vector): number {
  return a[0] * b[0] + a[1] * b[1] + a[2] * b[2];
}
