/** Cable-driven rods against the literature and independent solutions. Axial strain locked where the source leaves it out. */
import { describe, expect, test } from "vitest";
import { createArm } from "../../src/arm/index.ts";
import { type Load, solveTensions } from "../../src/rod/index.ts";
import { bench, inextensible, noLoad, plainRod, stanceAlongX, tipForce, tipOf } from "../rod/arms.ts";

const ei = 4.22230053e-3;
const four = [0, Math.PI / 2, Math.PI, (3 * Math.PI) / 2];
const proto = { length: 0.242, ei, poissonRatio: 0.3125, cables: [four], cableRadius: 8e-3 };
const weight = 0.196133;

function tip(spans: number, tensions: readonly number[], force: number): number[] {
  const b = inextensible({ ...proto, spans });
  b.state.tension.set(tensions);
  const report = solveTensions(b.arm, tipForce(b.arm, [0, 0, -force]), stanceAlongX(), b.state, b.work);
  expect(report.status).toBe("stable");
  const { at, tangent } = tipOf(b);
  return [...at.map((v) => v * 1e3), ...tangent];
}

/** h^2 and h^4 taken off, as in elastica.test.ts; guide eyelets are discrete, so this is the limit of many. */
function limit(at: (spans: number) => number[], n = 60): number[] {
  const [a, b, c] = [at(n), at(2 * n), at(4 * n)];
  return a.map((_, k) => {
    const one = (4 * (b[k] as number) - (a[k] as number)) / 3;
    const two = (4 * (c[k] as number) - (b[k] as number)) / 3;
    return (16 * two - one) / 15;
  });
}

describe("straight tendons at 8 mm on a 0.8 mm spring steel rod (set-up after Rucker & Webster 2011; independent solver, residual < 1e-16)", () => {
  test.each([
    ["A: up 2 N", [2, 0, 0, 0], 0, [209.479478, 0, 103.39993, 0.608176, 0, 0.793802]],
    ["B: up 2 N, 20 g", [2, 0, 0, 0], weight, [223.894571, 0, -86.363938, 0.948807, 0, -0.315856]],
    ["C: side 2 N, 20 g", [0, 2, 0, 0], weight, [164.800257, -71.539767, -137.572698, 0.301211, -0.547577, -0.780661]],
    ["G: all four 5 N, 20 g", [5, 5, 5, 5], weight, [186.29661, 0, -139.914612, 0.591798, 0, -0.806086]],
    ["H: none, 20 g", [0, 0, 0, 0], weight, [186.29661, 0, -139.914612, 0.591798, 0, -0.806086]],
  ])("%s", (_, tensions, force, expected) => {
    const at = limit((spans) => tip(spans, tensions, force));
    expected.forEach((value, k) => expect(Math.abs((at[k] as number) - value)).toBeLessThan(k < 3 ? 0.01 : 1e-4));
  });

  test("without load the curve is a circle of curvature T r / EI (closed form)", () => {
    const theta = (2 * 8e-3 * 0.242) / ei;
    expect((theta * 180) / Math.PI).toBeCloseTo(52.54227, 4);
    const at = limit((spans) => tip(spans, [2, 0, 0, 0], 0));
    expect(at[0] as number).toBeCloseTo((242 * Math.sin(theta)) / theta, 4);
  });
});

describe("held tensions do not stiffen bending but stiffen twist: GJ + sum of T r^2 (prestress equivalence)", () => {
  test("1 mN m of torque", () => {
    const twist = (tension: number): number => {
      const spans = 400;
      const b = inextensible({ ...proto, spans });
      b.state.tension.fill(tension);
      const load: Load = { ...noLoad, following: [0, 0, 1e-3, 0, 0, 0] };
      expect(solveTensions(b.arm, load, stanceAlongX(), b.state, b.work).status).toBe("stable");
      let sum = 0;
      for (let i = 0; i < spans; i++) sum += (b.state.strain[4 * i + 2] as number) * (b.arm.flexible[i] as number);
      return (sum * 180) / Math.PI;
    };
    expect(twist(0)).toBeCloseTo(4.310108, 4);
    // closed form for small twist; the angle between neighbouring eyelets is 8e-3 deg, so what is left out is below 1e-5
    expect(twist(5)).toBeCloseTo(3.083303, 4);
  });
});

describe("two sections in a plane: the distal tendon bends the proximal section too (Camarillo 2008's point; closed form)", () => {
  const two =
    (proximal: number, distal: number, opposite: boolean) =>
    (spans: number): number[] => {
      // the distal tendons run at 6 mm so that the holes are apart, and pull 8/6 as hard: the same moment
      const whole = plainRod({ length: 0.24, spans, ei, poissonRatio: 0.3125, cables: [four, four], cableRadius: 8e-3 });
      const b = bench(
        createArm({ ...whole, sections: [whole.sections[0]!, { ...whole.sections[1]!, cableRadius: 6e-3 }] }, { lock: ["axial"] }),
      );
      b.state.tension[0] = proximal;
      b.state.tension[4 + (opposite ? 2 : 0)] = (distal * 8) / 6;
      expect(solveTensions(b.arm, noLoad, stanceAlongX(), b.state, b.work).status).toBe("stable");
      const { at } = tipOf(b);
      return at.map((v) => v * 1e3);
    };
  test("same side", () => {
    const at = limit(two(2, 1, false), 60);
    expect(at[0] as number).toBeCloseTo(194.6961062, 4);
    expect(at[2] as number).toBeCloseTo(124.9074161, 4);
  });
  test("opposite side: an S", () => {
    const at = limit(two(2, 1, true), 60);
    expect(at[0] as number).toBeCloseTo(237.9375588, 4);
    expect(at[2] as number).toBeCloseTo(27.1663721, 4);
  });
});

describe("constant-curvature lengths (Webster & Jones 2010, from memory, self-checked)", () => {
  test.each([
    [3, 10, [96.495680121, 99.958338541, 103.420996961]],
    [4, 10, [96.495680121, 97.959171771, 103.420996961, 101.957505312]],
    [3, 100000, [96.535898385, 100, 103.464101615]],
    [4, 100000, [96.535898385, 98, 103.464101615, 102]],
  ])("%d cables over %d chords", (count, chords, lengths) => {
    const spans = Math.min(chords, 2000);
    // l_k = L (1 - kappa d cos(phi_k - phi)) with phi = 30 degrees: the bend is about (-sin phi, cos phi)
    const phi = Math.PI / 6;
    const placed = count === 3 ? [0, (2 * Math.PI) / 3, (4 * Math.PI) / 3] : four;
    const b = inextensible({
      length: 0.1,
      spans,
      ei: 1,
      cables: [placed],
      cableRadius: 4e-3,
      rest: [-10 * Math.sin(phi), 10 * Math.cos(phi), 0],
    });
    solveTensions(b.arm, noLoad, stanceAlongX(), b.state, b.work);
    // chords exactly; arcs to the 4e-9 that 2000 chords leave
    lengths.forEach((value, k) => expect((b.work.cableLength[k] as number) * 1e3).toBeCloseTo(value, chords === 10 ? 8 : 5));
    const { at } = tipOf(b);
    // tip (39.81, 22.98, 84.15) mm in the base frame: x, y of the cross-section are world z and -y here
    expect(at[2] * 1e3).toBeCloseTo(39.81098812, 6);
    expect(-at[1] * 1e3).toBeCloseTo(22.98488467, 6);
    expect(at[0] * 1e3).toBeCloseTo(84.14709848, 6);
  });
});

describe("small loads: bracket and quarter circle (Roark, formulas from memory, numbers recomputed)", () => {
  // steel rod of 6 mm: E 200 GPa, G 79.3 GPa
  const steelEi = (200e9 * Math.PI * 6e-3 ** 4) / 64;
  const nu = 200 / (2 * 79.3) - 1;
  test("quarter circle of 200 mm, 5 N out of plane: 3.881247678 mm", () => {
    const length = 0.1 * Math.PI;
    const drop = (spans: number): number[] => {
      const b = inextensible({ length, spans, ei: steelEi, poissonRatio: nu, rest: [1 / 0.2, 0, 0] });
      solveTensions(b.arm, tipForce(b.arm, [0, 0, 5e-3]), stanceAlongX(), b.state, b.work);
      return [tipOf(b).at[2] * 1e6];
    };
    expect(limit(drop, 30)[0] as number).toBeCloseTo(3.881247678, 5);
  });
  test("right-angle bracket 300 + 100 mm, 5 N out of plane: 5.154433437 mm, long leg twists 0.851796416 degrees", () => {
    // the corner is one short span pre-bent by 90 degrees: its own length vanishes as spans grow, so it is made 1e-5 of the rod
    const description = plainRod({ length: 0.4, spans: 400, ei: steelEi, poissonRatio: nu });
    const whole = description.sections[0]!;
    const cables = whole.cableAngles;
    const arm = createArm(
      {
        ...description,
        sections: [
          { ...whole, spans: 300, cableAngles: cables },
          { ...whole, cableRadius: 6e-3, spans: 1, pitch: 1e-6, flexible: 1e-6, effectiveLength: 1e-6, rest: [Math.PI / 2 / 1e-6, 0, 0] },
          { ...whole, cableRadius: 4e-3, spans: 100 },
        ],
      },
      { lock: ["axial"] },
    );
    const b = bench(arm);
    solveTensions(arm, tipForce(arm, [0, 0, 5e-3]), stanceAlongX(), b.state, b.work);
    expect(tipOf(b).at[2] * 1e6).toBeCloseTo(5.154433437, 3);
    let twist = 0;
    for (let i = 0; i < 300; i++) twist += (b.state.strain[4 * i + 2] as number) * (arm.flexible[i] as number);
    expect(Math.abs((twist * 180e3) / Math.PI)).toBeCloseTo(0.851796416, 4);
  });
  test("6 mm rod, 0.5 m: 5 N gives 16.373965 mm and 2.8144773 degrees, its weight 1.3364966 mm", () => {
    const at =
      (load: Load, massPerLength: number) =>
      (spans: number): number[] => {
        const b = inextensible({ length: 0.5, spans, ei: steelEi, poissonRatio: nu, massPerLength });
        solveTensions(b.arm, load, stanceAlongX(), b.state, b.work);
        const { at: p, tangent } = tipOf(b);
        return [-p[2] * 1e6, (Math.atan2(-tangent[2], tangent[0]) * 180e3) / Math.PI];
      };
    const load = (spans: number): Load => ({ gravity: [0, 0, 0], forces: [{ vertebra: spans, force: [0, 0, -5e-3], at: [0, 0, 0] }] });
    const tipLoad = limit((spans) => at(load(spans), 0)(spans), 20);
    expect(tipLoad[0] as number).toBeCloseTo(16.373965, 4);
    expect(tipLoad[1] as number).toBeCloseTo(2.8144773, 5);
    const own = limit(at({ gravity: [0, 0, -9.80665e-3], forces: [] }, 7850 * Math.PI * 9e-6), 20);
    expect(own[0] as number).toBeCloseTo(1.3364966, 4);
  });
});
