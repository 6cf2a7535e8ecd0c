import { describe, expect, test } from "vitest";
import { type ArmDescription, createArm, type Drum } from "../../src/arm/index.ts";
import { layCoil, longestInsert } from "../../src/drum/index.ts";
import { createRodState, createRodWork, setStance } from "../../src/rod/index.ts";
import { placeArm } from "../../src/rod/place.ts";
import { plainRod } from "../rod/arms.ts";

const friction = { low: 0.1, nominal: 0.2, high: 0.3 };

/** A plain rod of vertebrae 20 mm wide and without thickness: its axis lies 10 mm off the core. */
function thin(length: number, spans: number, flexibleShare = 1): ArmDescription {
  const rod = plainRod({ length, spans, ei: 1e-2, flexibleShare });
  return { ...rod, sections: rod.sections.map((s) => ({ ...s, outerDiameter: 20e-3 })) };
}

function helix(radius: number, pitch: number): Drum {
  return { radius, lay: "helix", pitch, bentBy: "sections", start: 0.3, friction, pull: 0 };
}

describe("a helix of radius 50 mm and pitch 100 mm: curvature 18.16000663 /m, torsion 5.780509644 /m, 0.3296908309 m a turn", () => {
  const arm = createArm(thin(0.3296908309, 400));
  const coil = layCoil(arm, helix(0.04, 0.1), 0);

  test("curvature, turning of its direction, and one turn a length", () => {
    for (const curvature of coil.curvature) expect(curvature).toBeCloseTo(18.16000663, 7);
    const h = 0.3296908309 / 400;
    for (let i = 1; i < 400; i++)
      expect(((coil.direction[i] as number) - (coil.direction[i - 1] as number)) / h).toBeCloseTo(5.780509644, 3);
    expect((coil.angle[400] as number) - 0.3).toBeCloseTo(2 * Math.PI, 3);
    expect(coil.height[400] as number).toBeCloseTo(0.1, 4);
  });

  test("an arm bent by these turns lies on that helix, four times nearer with half the span (second order)", () => {
    const off = (spans: number): number => {
      const model = createArm(thin(0.3296908309, spans));
      const lay = layCoil(model, helix(0.04, 0.1), 0.7);
      const state = createRodState(model);
      for (let i = 0; i < spans; i++) {
        const u = (lay.turn[i] as number) / (model.flexible[i] as number);
        state.strain[4 * i] = u * Math.cos(lay.direction[i] as number);
        state.strain[4 * i + 1] = u * Math.sin(lay.direction[i] as number);
      }
      const work = createRodWork(model);
      setStance(model, { base: lay.base, exit: 0 }, work);
      placeArm(model, state.strain, work);
      let worst = 0;
      for (let i = 0; i <= spans; i++) {
        const [x, y, z] = [work.frame[12 * i + 9] as number, work.frame[12 * i + 10] as number, work.frame[12 * i + 11] as number];
        worst = Math.max(
          worst,
          Math.hypot(
            Math.hypot(x, y) - 0.05,
            z - (0.1 * (Math.atan2(y, x) - 0.3 + (y < 0 && i > spans / 4 ? 2 * Math.PI : 0))) / (2 * Math.PI),
          ),
        );
        if (i > 0.9 * spans) break;
      }
      return worst;
    };
    const [coarse, fine] = [off(50), off(100)];
    expect(coarse).toBeLessThan(0.5e-3);
    expect(coarse / fine).toBeGreaterThan(3.5);
    expect(coarse / fine).toBeLessThan(4.5);
  });
});

describe("round the core", () => {
  test("flexible all along, the turn of a span is pitch over radius to third order, exactly a chord in the arc", () => {
    const arm = createArm(thin(0.5, 50));
    const { turn } = layCoil(arm, helix(0.09, 1e-9), 0);
    // R = 0.1: an arc of 10 mm of the circle itself
    for (const t of turn) expect(t).toBeCloseTo(0.01 / 0.1, 10);
  });

  test("stiff vertebrae on pins: tan(t/2) = half pitch over radius", () => {
    const arm = createArm(thin(0.5, 50, 1e-6));
    // the rims' edges touch: the middle of a vertebra 10 mm thick lies R + 10 mm less the sagitta off
    const { turn, distance } = layCoil(arm, helix(0.09, 1e-9), 0);
    const at = 0.01 + Math.sqrt(0.09 ** 2 - 0.005 ** 2);
    expect(distance[3] as number).toBeCloseTo(at, 7);
    expect(Math.tan((turn[3] as number) / 2)).toBeCloseTo(0.005 / at, 7);
  });

  test("in a spiral every turn lies a vertebra further out, and its curvature is that of Archimedes' spiral", () => {
    const arm = createArm(thin(2, 200));
    const coil = layCoil(arm, { ...helix(0.09, 1), lay: "spiral" }, 0);
    const growth = 0.02 / (2 * Math.PI);
    for (let i = 0; i < 200; i++) {
      expect(coil.distance[i] as number).toBeCloseTo(0.1 + growth * ((coil.angle[i] as number) - 0.3), 9);
      const r = coil.distance[i] as number;
      expect(coil.curvature[i] as number).toBeCloseTo((r * r + 2 * growth * growth) / (r * r + growth * growth) ** 1.5, 9);
    }
    // length of r = a + g t from 0 to t: its integral, by Simpson over the angle reached
    const whole = (coil.angle[200] as number) - 0.3;
    let length = 0;
    for (let k = 0; k <= 1000; k++) {
      const r = 0.1 + (growth * whole * k) / 1000;
      length += ((k === 0 || k === 1000 ? 1 : k % 2 === 1 ? 4 : 2) * Math.sqrt(r * r + growth * growth) * whole) / 3000;
    }
    // a step takes the radius at its foot: first order, half a span's growth
    expect(length / 2).toBeCloseTo(1, 2);
  });
});

test("a stiff piece in a bent bore: bore 50, radius 75, diameter 30 lets 120 mm pass (tube bend, by hand)", () => {
  expect(longestInsert(0.075, 0.05, 0.03)).toBeCloseTo(0.12, 12);
  expect(longestInsert(0.075, 0.05, 0.05)).toBe(0);
});
