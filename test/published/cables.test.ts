/** Cable-driven rods against the literature and independent solutions. Axial strain locked where the source leaves it out. */
import { describe, expect, test } from "vitest";
import { createArm } from "../../src/arm/index.ts";
import { type Load, solveHeld, solveTensions, tipCompliance } from "../../src/rod/index.ts";
import { bench, inextensible, noLoad, plainRod, stanceAlongX, tipForce, tipOf } from "../rod/arms.ts";
import { reach } from "./reach.ts";

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
    expected.forEach((value, k) => {
      reach(k < 3 ? "tendonTip" : "tendonTangent", (at[k] as number) - value);
    });
  });

  test("without load the curve is a circle of curvature T r / EI (closed form)", () => {
    const theta = (2 * 8e-3 * 0.242) / ei;
    expect((theta * 180) / Math.PI).toBeCloseTo(52.54227, 4);
    const at = limit((spans) => tip(spans, [2, 0, 0, 0], 0));
    reach("tendonCircle", (at[0] as number) - (242 * Math.sin(theta)) / theta);
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
    reach("tendonTwist", twist(0) - 4.310108);
    // closed form for small twist; the angle between neighbouring eyelets is 8e-3 deg, so what is left out is below 1e-5
    reach("tendonTwist", twist(5) - 3.083303);
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
    reach("twoSections", (at[0] as number) - 194.6961062);
    reach("twoSections", (at[2] as number) - 124.9074161);
  });
  test("opposite side: an S", () => {
    const at = limit(two(2, 1, true), 60);
    reach("twoSections", (at[0] as number) - 237.9375588);
    reach("twoSections", (at[2] as number) - 27.1663721);
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
    lengths.forEach((value, k) => {
      reach(chords === 10 ? "chordLengths" : "arcLengths", (b.work.cableLength[k] as number) * 1e3 - value);
    });
    const { at } = tipOf(b);
    // tip (39.81, 22.98, 84.15) mm in the base frame: x, y of the cross-section are world z and -y here
    reach("arcTip", at[2] * 1e3 - 39.81098812);
    reach("arcTip", -at[1] * 1e3 - 22.98488467);
    reach("arcTip", at[0] * 1e3 - 84.14709848);
  });
});

describe("and back: bends held by the solver, curvature and plane from its cable lengths (Webster & Jones 2010, from memory)", () => {
  // chords l_k = 2 n sin(kappa L/2n) (1/kappa - d cos(phi_k - phi)): their ratios give kappa and phi as the arcs' do
  test.each([
    [3, 0.9, 0.5],
    [3, 0.01, 2],
    [4, 1.5, -1],
    [4, 1e-5, 1],
  ])("%d cables, bent by %d rad in the plane at %d rad", (count, bend, plane) => {
    const placed = count === 3 ? [0, (2 * Math.PI) / 3, (4 * Math.PI) / 3] : four;
    const [d, length, spans] = [4e-3, 0.1, 20];
    const b = inextensible({ length, spans, ei: 1e-3, cables: [placed], cableRadius: d, pretension: 1 });
    // held bends are what the cables measure: sums over the spans of 2 sin(half the joint)
    const asked = 2 * spans * Math.sin(bend / (2 * spans));
    const about = Float64Array.of(-asked * Math.sin(plane), asked * Math.cos(plane));
    expect(solveHeld(b.arm, noLoad, stanceAlongX(), about, b.state, b.work).status).toBe("stable");
    const [l1, l2, l3, l4] = b.work.cableLength as unknown as [number, number, number, number];
    const curvature =
      count === 3
        ? (2 * Math.sqrt(l1 * l1 + l2 * l2 + l3 * l3 - l1 * l2 - l1 * l3 - l2 * l3)) / (d * (l1 + l2 + l3))
        : Math.hypot(l1 - l3, l2 - l4) / (d * (l1 + l3));
    reach("curvatureBack", (curvature * length) / bend - 1);
    if (count === 4) expect(l1 + l3).toBeCloseTo(l2 + l4, 12);
    const turned = count === 3 ? Math.atan2(Math.sqrt(3) * (l3 - l2), l2 + l3 - 2 * l1) : Math.atan2(l4 - l2, l3 - l1);
    reach("planeBack", Math.atan2(Math.sin(turned - plane), Math.cos(turned - plane)));
    // and the tip is that of the arc
    const { at } = tipOf(b);
    const off = ((1 - Math.cos(bend)) * length) / bend;
    reach("arcFromLengths", (at[0] - (length * Math.sin(bend)) / bend) / length);
    reach("arcFromLengths", (at[2] - off * Math.cos(plane)) / length);
    reach("arcFromLengths", (-at[1] - off * Math.sin(plane)) / length);
  });
});

describe("cables locked at their lengths stiffen bending (beam with a rotational spring at its tip, by hand)", () => {
  /*
   * Small deflection: the four cables resist the tip's turn by k sum of r^2 sin^2, a spring of 2 k r^2, whatever their tension;
   * delta = P L^3/3EI - (P L^2/2EI)^2/(P (L/EI + 1/spring)). Endless stiffness keeps the tip level: P L^3/12EI, four times as stiff.
   */
  test.each([0.1, 1, 10, 1e4])("cables of %d times the stiffness that halves the tip's turn", (share) => {
    const [length, r] = [0.242, 8e-3];
    const spring = (share * ei) / length;
    const k = spring / (2 * r * r);
    const softness = (spans: number, drives: "locked" | "tensions"): number => {
      const plain = plainRod({ ...proto, spans, pretension: 5 });
      const modulus = (k * length) / ((Math.PI * 1e-4 ** 2) / 4);
      const sections = plain.sections.map((s) => ({ ...s, cable: { ...s.cable, effectiveModulus: modulus } }));
      const b = bench(createArm({ ...plain, sections }, { lock: ["axial"] }));
      expect(solveTensions(b.arm, noLoad, stanceAlongX(), b.state, b.work).status).toBe("stable");
      const out = new Float64Array(36);
      tipCompliance(b.arm, b.state, drives, b.work, out);
      return out[6 * 3 + 3] as number;
    };
    const cantilever = length ** 3 / (3 * ei);
    const locked = cantilever - (length ** 2 / (2 * ei)) ** 2 / (length / ei + 1 / spring);
    if (share === 1e4) expect(cantilever / locked).toBeCloseTo(4, 2);
    reach("lockedCables", (limit((spans) => [softness(spans, "locked")], 30)[0] as number) / locked - 1);
    reach("heldTensions", (limit((spans) => [softness(spans, "tensions")], 30)[0] as number) / cantilever - 1);
  });
});
