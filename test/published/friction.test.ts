/** Friction of the cables against closed forms (Euler and Eytelwein) and facts of the trade. */
import { describe, expect, test } from "vitest";
import { createArm } from "../../src/arm/index.ts";
import { checkBalance, driveTension, solveHeld, solveTensions } from "../../src/rod/index.ts";
import { bench, noLoad, plainRod, stanceAlongX, tipOf } from "../rod/arms.ts";
import { reach } from "./reach.ts";

const exactly = (value: number) => ({ low: value, nominal: value, high: value });
const four = [0, Math.PI / 2, Math.PI, (3 * Math.PI) / 2];
const length = 0.242;
const ei = 4.22230053e-3;
/** Tension that bends the frictionless rod by 90 degrees. */
const quarter = ((Math.PI / 2) * ei) / (8e-3 * length);

function rubbing(spans: number, holes: number, conduit = 0, conduitTurn = 0, pretension = 0) {
  const description = plainRod({ length, spans, ei, poissonRatio: 0.3125, cables: [four], cableRadius: 8e-3, pretension });
  return bench(
    createArm({ ...description, friction: { holes: exactly(holes), conduit: exactly(conduit), conduitTurn } }, { lock: ["axial"] }),
  );
}

/** Angle (rad), x / L, y / L and tension at the end over that at the base, of one cable pulled with all holes gripped alike. */
function pulled(spans: number, mu: number, grip: number): number[] {
  const b = rubbing(spans, mu);
  b.state.tension.set([quarter, 0, 0, 0]);
  b.state.grip.fill(grip);
  expect(solveTensions(b.arm, noLoad, stanceAlongX(), b.state, b.work).status).toBe("stable");
  expect(checkBalance(b.arm, noLoad, stanceAlongX(), b.state)).toBeLessThan(1e-9);
  const { at, tangent } = tipOf(b);
  const share = b.work.share[4 * (spans - 1)] as number;
  return [Math.atan2(tangent[2], tangent[0]), at[0] / length, at[2] / length, share];
}

/** The chain's holes are discrete, and the last rim of all turns no tension that is felt: first order in the span, then second. */
function limit(at: (spans: number) => number[]): number[] {
  const [a, b, c] = [at(60), at(120), at(240)] as [number[], number[], number[]];
  return a.map((_, k) => {
    const one = 2 * (b[k] as number) - (a[k] as number);
    const two = 2 * (c[k] as number) - (b[k] as number);
    return (4 * two - one) / 3;
  });
}

describe("one cable pulled along a planar rod, k0 L = pi/2, mu = 0.1 (from the belt equation: theta = ln(1 + mu k0 L) / mu; released: -ln(1 - mu k0 L) / mu)", () => {
  test("pull", () => {
    const [theta, x, y, ratio] = limit((n) => pulled(n, 0.1, 1)) as [number, number, number, number];
    reach("frictionPull", theta - Math.log(1 + (0.1 * Math.PI) / 2) / 0.1);
    reach("frictionPull", theta - (83.594126 * Math.PI) / 180);
    reach("frictionPull", x - 0.66987844);
    reach("frictionPull", y - 0.62142234);
    reach("frictionPull", ratio - 0.86424475);
  });

  test("release", () => {
    const [theta, x, y] = limit((n) => pulled(n, 0.1, -1)) as [number, number, number];
    reach("frictionRelease", theta + Math.log(1 - (0.1 * Math.PI) / 2) / 0.1);
    reach("frictionRelease", theta - (97.908626 * Math.PI) / 180);
    reach("frictionRelease", x - 0.59659542);
    reach("frictionRelease", y - 0.65079571);
  });

  test("as the friction goes to nothing both meet the frictionless 90 degrees", () => {
    const [pull] = pulled(120, 1e-7, 1) as [number];
    const [release] = pulled(120, 1e-7, -1) as [number];
    expect(pull).toBeCloseTo(Math.PI / 2, 3);
    expect(pull - release).toBeLessThan(0);
    expect(Math.abs(pull - release)).toBeLessThan(1e-6);
  });
});

describe("belt friction along the arm (capstan table: exp(mu theta), theta gathered, not netted)", () => {
  test.each([
    [0.1, 90, 1.170089],
    [0.3, 90, 1.601978],
    [0.15, 45, 1.12503],
    [0.05, 180, 1.170089],
    [0.2, 180, 1.874456],
  ])("mu %f over %f deg", (mu, degrees, ratio) => {
    const b = rubbing(200, mu);
    b.state.grip.fill(1);
    // bent about one axis by its own cables, four of them: those in the plane of bending turn by the whole angle
    const bend = Float64Array.of(0, (degrees * Math.PI) / 180);
    expect(solveHeld(b.arm, noLoad, stanceAlongX(), bend, b.state, b.work).status).not.toBe("not-converged");
    // first order: half a hole's turn is not felt at the end
    reach("capstan", 1 / (b.work.share[4 * 199] as number) / ratio - 1);
  });

  test("a bend one way and back counts twice: two sections of +45 and -45 degrees are 90", () => {
    const description = plainRod({
      length,
      spans: 200,
      ei,
      cables: [four, four.map((a) => a + Math.PI / 4)],
      cableRadius: 8e-3,
      pretension: 1,
    });
    const b = bench(
      createArm({ ...description, friction: { holes: exactly(0.1), conduit: exactly(0), conduitTurn: 0 } }, { lock: ["axial"] }),
    );
    b.state.grip.fill(1);
    const bend = Float64Array.of(0, Math.PI / 4, 0, -Math.PI / 4);
    expect(solveHeld(b.arm, noLoad, stanceAlongX(), bend, b.state, b.work).status).toBe("stable");
    for (let c = 4; c < 8; c++) reach("capstan", 1 / (b.work.share[8 * 199 + c] as number) / 1.170089 - 1);
  });
});

test("a straight section held by two drives at 20 N, mu x angle of its conduit 0.3: friction hides +-12 N of difference (common practice, no source)", () => {
  const b = rubbing(20, 0, 0.1, 3, 20);
  const entry = (grip: number): number => {
    b.state.grip.fill(grip);
    b.state.tension.fill(1);
    return 20 / driveTension(b.arm, b.state, 0);
  };
  reach("straightBand", (entry(-1) - entry(1)) / (20 * 2 * Math.sinh(0.3)) - 1);
  expect(Math.round(entry(-1) - entry(1))).toBe(12);
});
