/** The surface the space is cut along: it must hold the route, whatever its shape. Truths: geometry of circles and lines. */
import { Vector3 } from "three";
import { describe, expect, it } from "vitest";
import { createCutSurface, cutGrid } from "../../apps/page/view/cut-surface.ts";

const upward = new Vector3(0, 0, 1);

/** Height of the surface over a place, as the shader reads it. */
function heightAt(cut: ReturnType<typeof createCutSurface>, p: Vector3): number {
  const data = cut.heights.image.data as Float32Array;
  const gx = ((p.dot(cut.across) - cut.corner[0]) / cut.size[0]) * (cutGrid - 1);
  const gy = ((p.dot(cut.up) - cut.corner[1]) / cut.size[1]) * (cutGrid - 1);
  const [i, j] = [Math.min(Math.floor(gx), cutGrid - 2), Math.min(Math.floor(gy), cutGrid - 2)];
  const [fx, fy] = [gx - i, gy - j];
  const at = (di: number, dj: number) => data[(j + dj) * cutGrid + i + di] as number;
  return (at(0, 0) * (1 - fx) + at(1, 0) * fx) * (1 - fy) + (at(0, 1) * (1 - fx) + at(1, 1) * fx) * fy;
}

function sample(count: number, place: (t: number) => readonly [number, number, number]): Float32Array {
  return Float32Array.from(Array.from({ length: count }, (_, i) => place(i / (count - 1))).flat());
}

const routes = {
  "a quarter circle in an upright plane": sample(
    181,
    (t) => [0.2 - 0.2 * Math.cos((t * Math.PI) / 2), 0, -0.2 * Math.sin((t * Math.PI) / 2)] as const,
  ),
  "a helix": sample(181, (t) => [0.2 * Math.sin(2 * t), 0.03 * Math.sin(3 * t), -0.5 * t] as const),
  "a straight line down": sample(181, (t) => [0, 0, -0.4 * t] as const),
  "a straight line aslant": sample(181, (t) => [0.3 * t, 0.1 * t, -0.2 * t] as const),
};

describe("the cut surface", () => {
  it.each(Object.entries(routes))("holds %s to a fraction of an arm's radius", (_, points) => {
    const cut = createCutSurface(points, upward);
    for (let i = 0; i < points.length / 3; i += 3) {
      const p = new Vector3(points[3 * i], points[3 * i + 1], points[3 * i + 2]);
      expect(Math.abs(p.dot(cut.normal) - heightAt(cut, p))).toBeLessThan(0.002);
    }
  });

  it("lies in the plane of a plane curve", () => {
    const cut = createCutSurface(routes["a quarter circle in an upright plane"], upward);
    expect(Math.abs(cut.normal.y)).toBeCloseTo(1, 6);
  });

  it("is upright for a route that does not bend", () => {
    const cut = createCutSurface(routes["a straight line aslant"], upward);
    expect(Math.abs(cut.normal.z)).toBeLessThan(1e-6);
    expect(cut.normal.length()).toBeCloseTo(1, 9);
  });

  it("has a right-handed frame of unit vectors", () => {
    for (const points of Object.values(routes)) {
      const { across, up, normal } = createCutSurface(points, upward);
      expect(across.clone().cross(up).distanceTo(normal)).toBeLessThan(1e-6);
    }
  });
});
