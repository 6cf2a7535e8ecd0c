/** What of a deviation is the sections' own: closed forms by hand, and a search by brute force. */
import { describe, expect, test } from "vitest";
import { createArm } from "../../src/arm/index.ts";
import type { InsertionModel } from "../../src/insertion/index.ts";
import { bendTable, inherentDeviation } from "../../src/insertion/inherent.ts";
import type { RouteCurve } from "../../src/path/index.ts";
import { twinArm } from "../rod/twin.ts";

/** A plane curve of given curvature, from the origin along z towards x: by its own closed form of angle, integrated finely. */
function plane(length: number, curvature: (s: number) => number, turn = 0): RouteCurve {
  const count = 2001;
  const h = length / (count - 1);
  const point = new Float64Array(3 * count);
  const tangent = new Float64Array(3 * count);
  let angle = 0;
  const [c, s] = [Math.cos(turn), Math.sin(turn)];
  let [x, z] = [0, 0];
  for (let k = 0; k < count; k++) {
    point.set([c * x, s * x, z], 3 * k);
    tangent.set([c * Math.sin(angle), s * Math.sin(angle), Math.cos(angle)], 3 * k);
    const next = angle + h * curvature((k + 0.5) * h);
    x += h * Math.sin((angle + next) / 2);
    z += h * Math.cos((angle + next) / 2);
    angle = next;
  }
  const arc = Float64Array.from({ length: count }, (_, k) => k * h);
  return { count, point, tangent, arc } as unknown as RouteCurve;
}

const arm = createArm({ ...twinArm({ sections: 2, spans: 10 }), tool: { ...twinArm().tool, length: 0 } });
const of = (curve: RouteCurve, depth: number): [number, number] =>
  inherentDeviation({ arm, curve } as unknown as InsertionModel, bendTable(curve), depth);

describe("the least deviation of sections that bend evenly", () => {
  test("none on a straight, on a circle of any plane, and on a bend that changes where a section ends", () => {
    for (const curve of [plane(0.2, () => 0), plane(0.2, () => 4, 0.8), plane(0.2, (s) => (s < 0.1 ? 3 : -5))]) {
      // the table takes steps for straight lines between tangents: a tenth of a micrometre over 0.2 m
      expect(of(curve, 0.2)[1]).toBeLessThan(2e-7);
    }
  });

  test("one section out over a straight and then a bend: the best parabola through x^2/2 beyond the middle, by brute search", () => {
    const bend = 2;
    const curve = plane(0.1, (s) => (s < 0.05 ? 0 : bend));
    const places = Array.from({ length: 10 }, (_, k) => 0.01 * (k + 1));
    const aside = (s: number): number => (bend * Math.max(0, s - 0.05) ** 2) / 2;
    let best = { sum: Number.POSITIVE_INFINITY, most: 0 };
    for (let k = 0; k < bend; k += 1e-4) {
      const off = places.map((s) => (k * s * s) / 2 - aside(s));
      // the tool point lies on the last vertebra and counts once more
      const sum = off.reduce((total, value) => total + value * value, 0) + (off[9] as number) ** 2;
      if (sum < best.sum) best = { sum, most: Math.max(...off.map(Math.abs)) };
    }
    const [rms, greatest] = of(curve, 0.1);
    expect(rms).toBeCloseTo(Math.sqrt(best.sum / 11), 6);
    expect(greatest).toBeCloseTo(best.most, 6);
    expect(greatest).toBeGreaterThan(0.2e-3);
  });

  test("a passive length before the sections goes straight on: a bend beside it is all deviation", () => {
    const whole = twinArm({ sections: 2, spans: 10 });
    const passive = createArm({
      ...whole,
      tool: { ...whole.tool, length: 0 },
      sections: whole.sections.map((s, j) => (j === 0 ? { ...s, cableAngles: [] } : s)),
    });
    const curve = plane(0.2, (s) => (s < 0.1 ? 1 : 0));
    const greatest = inherentDeviation({ arm: passive, curve } as unknown as InsertionModel, bendTable(curve), 0.2)[1];
    // at the end of the passive length the route is s^2/2 aside
    expect(greatest).toBeGreaterThanOrEqual(0.1 ** 2 / 2 - 1e-5);
  });
});
