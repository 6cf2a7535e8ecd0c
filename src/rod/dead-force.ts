/** Potential of a force that keeps its size and direction in the world: gradient and second derivative in its vertebra's own motion. */
import type { RodWork } from "./work.ts";

/** offsets in `work.scratch`: [3] force (N, world) and [3] where it acts (m, vertebra frame) */
export const force = 16;
export const at = 19;

/** A dead force (world) at an offset (vertebra frame), both in the scratch: as arguments each number would be put on the heap. */
export function applyForce(work: RodWork, i: number): void {
  const { frame, loadGradient, loadCurvature, scratch } = work;
  const fx = scratch[force] as number;
  const fy = scratch[force + 1] as number;
  const fz = scratch[force + 2] as number;
  const cx = scratch[at] as number;
  const cy = scratch[at + 1] as number;
  const cz = scratch[at + 2] as number;
  const o = 12 * i;
  const a = (frame[o] as number) * fx + (frame[o + 3] as number) * fy + (frame[o + 6] as number) * fz;
  const b = (frame[o + 1] as number) * fx + (frame[o + 4] as number) * fy + (frame[o + 7] as number) * fz;
  const c = (frame[o + 2] as number) * fx + (frame[o + 5] as number) * fy + (frame[o + 8] as number) * fz;
  work.energy -= fx * (frame[o + 9] as number) + fy * (frame[o + 10] as number) + fz * (frame[o + 11] as number) + a * cx + b * cy + c * cz;
  const gi = 6 * i;
  loadGradient[gi] = (loadGradient[gi] as number) - (cy * c - cz * b);
  loadGradient[gi + 1] = (loadGradient[gi + 1] as number) - (cz * a - cx * c);
  loadGradient[gi + 2] = (loadGradient[gi + 2] as number) - (cx * b - cy * a);
  loadGradient[gi + 3] = (loadGradient[gi + 3] as number) - a;
  loadGradient[gi + 4] = (loadGradient[gi + 4] as number) - b;
  loadGradient[gi + 5] = (loadGradient[gi + 5] as number) - c;
  const h = 36 * i;
  if (cx !== 0 || cy !== 0 || cz !== 0) {
    const dot = a * cx + b * cy + c * cz;
    const xy = -0.5 * (a * cy + b * cx);
    const xz = -0.5 * (a * cz + c * cx);
    const yz = -0.5 * (b * cz + c * cy);
    loadCurvature[h] = (loadCurvature[h] as number) + dot - a * cx;
    loadCurvature[h + 7] = (loadCurvature[h + 7] as number) + dot - b * cy;
    loadCurvature[h + 14] = (loadCurvature[h + 14] as number) + dot - c * cz;
    loadCurvature[h + 1] = (loadCurvature[h + 1] as number) + xy;
    loadCurvature[h + 6] = (loadCurvature[h + 6] as number) + xy;
    loadCurvature[h + 2] = (loadCurvature[h + 2] as number) + xz;
    loadCurvature[h + 12] = (loadCurvature[h + 12] as number) + xz;
    loadCurvature[h + 8] = (loadCurvature[h + 8] as number) + yz;
    loadCurvature[h + 13] = (loadCurvature[h + 13] as number) + yz;
  }
  // between rotation and translation: -1/2 [f]x, rows translation, columns rotation; and its mirror
  const x = 0.5 * a;
  const y = 0.5 * b;
  const z = 0.5 * c;
  loadCurvature[h + 9] = (loadCurvature[h + 9] as number) + z;
  loadCurvature[h + 19] = (loadCurvature[h + 19] as number) + z;
  loadCurvature[h + 15] = (loadCurvature[h + 15] as number) - y;
  loadCurvature[h + 20] = (loadCurvature[h + 20] as number) - y;
  loadCurvature[h + 4] = (loadCurvature[h + 4] as number) - z;
  loadCurvature[h + 24] = (loadCurvature[h + 24] as number) - z;
  loadCurvature[h + 16] = (loadCurvature[h + 16] as number) + x;
  loadCurvature[h + 26] = (loadCurvature[h + 26] as number) + x;
  loadCurvature[h + 5] = (loadCurvature[h + 5] as number) + y;
  loadCurvature[h + 30] = (loadCurvature[h + 30] as number) + y;
  loadCurvature[h + 11] = (loadCurvature[h + 11] as number) - x;
  loadCurvature[h + 31] = (loadCurvature[h + 31] as number) - x;
}
