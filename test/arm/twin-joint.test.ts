/** Stiffness of a joint of two thin rods, worked out by hand from beam theory, and how thrust in the rods softens its twist. */
import { describe, expect, test } from "vitest";
import { type ArmDescription, createArm, type Section } from "../../src/arm/index.ts";
import { createRodState, createRodWork, solveTensions } from "../../src/rod/index.ts";
import { noLoad, stanceAlongX } from "../rod/arms.ts";
import { nitinol, twinArm } from "../rod/twin.ts";

const flexible = 2.5e-3;

function oneJoint(change: Partial<Section> = {}, single = false): ArmDescription {
  const whole = twinArm({ sections: 1, spans: 1, single });
  return { ...whole, sections: [{ ...(whole.sections[0] as Section), ...change }] };
}

/** Stiffness of the joint, N m/rad: about x, about y, twist. */
function jointStiffness(arm: ArmDescription): [number, number, number] {
  const k = createArm(arm).stiffness;
  return [0, 5, 10].map((at) => (k[at] as number) / flexible) as [number, number, number];
}

// Beam theory: each rod EI/l in bending, GJ/l in twist, and 12 EI rho^2/l^3/(1 + f) because the twist shifts its ends sideways,
// f = 12 EI/(kGA l^2), k after Cowper 1966 (all from memory).
const inertia = (Math.PI * 1e-3 ** 4) / 64;
const ei = nitinol.youngModulus * inertia;
const shearModulus = nitinol.youngModulus / (2 * 1.33);
const cowper = (6 * 1.33) / (7 + 6 * 0.33);
const rho = 4e-3;

describe("two 1.0 mm rods 8 mm apart, 60 GPa, nu 0.33, 2.5 mm free: worked example", () => {
  test("the parts: 72.5 of sideways bending, 1.36 of shear, 1.8 of the rods' own twist", () => {
    // digits as rounded in the example: half of the last place
    expect(Math.abs((2 * 12 * ei * rho ** 2) / flexible ** 3 - 72.5)).toBeLessThan(0.15);
    expect(Math.abs((12 * ei) / (cowper * shearModulus * Math.PI * 0.25e-6 * flexible ** 2) - 0.36)).toBeLessThan(0.005);
    expect(Math.abs((2 * shearModulus * 2 * inertia) / flexible - 1.8)).toBeLessThan(0.05);
  });

  test("about 55 N m/rad a joint, 0.9 for one rod on the axis", () => {
    const [, , twist] = jointStiffness(oneJoint());
    expect(Math.abs(twist - (72.5 / 1.36 + 1.8))).toBeLessThan(0.2);
    expect(Math.round(twist)).toBe(55);
    const [, , alone] = jointStiffness(oneJoint({}, true));
    expect(alone).toBeCloseTo(0.9, 1);
  });

  test("half a millimetre more effective length: about 35 in twist, bending down by 17 %", () => {
    const [stiff, , twist] = jointStiffness(oneJoint());
    const [bend, , softer] = jointStiffness(oneJoint({ effectiveLength: 3e-3 }));
    expect(stiff).toBeCloseTo((2 * ei) / flexible, 12);
    expect(Math.round(softer)).toBe(35);
    expect(Math.round(100 * (1 - bend / stiff))).toBe(17);
    expect(twist).toBeGreaterThan(1.5 * softer);
  });

  test("a pair bends easily about its own line only; a quarter turn on, about the other", () => {
    const whole = twinArm({ sections: 1, spans: 2 });
    const { stiffness, turned } = createArm(whole);
    expect([...turned]).toEqual([0, 1]);
    const sideways = 2 * nitinol.youngModulus * Math.PI * 0.25e-6 * rho ** 2 + 2 * ei;
    // rods on the x line: free about x, stiff about y, where one is pulled and one pushed
    expect(stiffness[0]).toBeCloseTo(2 * ei, 14);
    expect((stiffness[5] as number) / sideways).toBeCloseTo(1, 12);
    expect((stiffness[16] as number) / sideways).toBeCloseTo(1, 12);
    expect(stiffness[16 + 5]).toBeCloseTo(2 * ei, 14);
  });
});

describe("thrust in the rods softens the twist by 6/5 P rho^2/l", () => {
  test("6/5 P/l is what the exact beam-column loses at first order (Timoshenko & Gere, sway of a clamped column, from memory)", () => {
    // one end clamped, the other guided: sway stiffness P / (2/k tan(k l/2) - l), k^2 = P/EI
    const sway = (p: number): number => {
      const k = Math.sqrt(p / ei);
      return p / ((2 / k) * Math.tan((k * flexible) / 2) - flexible);
    };
    const euler = (Math.PI ** 2 * ei) / flexible ** 2;
    // far enough from zero that the difference keeps ten digits, h^2 taken off by a second step
    const slope = (h: number): number => (sway(2 * h) - sway(h)) / h;
    const at = (2 * slope(1e-3 * euler) - slope(2e-3 * euler)) * flexible;
    expect(at).toBeCloseTo(-6 / 5, 4);
  });

  test.each([0, 50, 100, 200, -100])("by differences of the solved joint under a thrust of %d N", (thrust) => {
    const arm = createArm({ ...oneJoint(), tool: { ...twinArm().tool, mass: 0 } });
    const turn = (torque: number): number => {
      const state = createRodState(arm);
      state.tension.fill(0);
      const load = { ...noLoad, following: [0, 0, torque, 0, 0, -thrust] as const };
      expect(solveTensions(arm, load, stanceAlongX(), state, createRodWork(arm)).status).toBe("stable");
      return flexible * (state.strain[2] as number);
    };
    const h = 1e-3;
    const stiffness = (2 * h) / (turn(h) - turn(-h));
    const [, , unloaded] = jointStiffness(oneJoint());
    const expected = unloaded - (6 / 5) * (thrust / flexible) * rho ** 2;
    // the joint's angle of 2e-5 rad bends the law by its square; shortening (1e-3) times the loss changes it by less than 1e-3 of the loss
    expect(Math.abs(stiffness - expected)).toBeLessThan(1e-6 * expected + 3e-3 * Math.abs(expected - unloaded));
  });

  test("rods that slide carry no thrust: no loss, and no stiffness of push, pull or their lever", () => {
    const whole = oneJoint();
    const rods = (whole.sections[0] as Section).rods;
    const middle = { x: 0, y: 0, diameter: 0.5e-3, material: nitinol, attachment: "clamped" as const };
    const sliding = rods.map((rod) => ({ ...rod, attachment: "sliding" as const }));
    const free = { channelDiameter: 0 };
    const alone = createArm(oneJoint({ ...free, rods: [middle] }));
    const slid = createArm(oneJoint({ ...free, rods: [middle, ...sliding] }));
    const held = createArm(oneJoint({ ...free, rods: [middle, ...rods] }));
    const ea = (nitinol.youngModulus * Math.PI * 1e-6) / 4;
    expect(slid.stiffness[15]).toBe(alone.stiffness[15]);
    expect((held.stiffness[15] as number) - (slid.stiffness[15] as number)).toBeCloseTo(2 * ea, 6);
    // bending about y: sliding rods add their own EI alone
    expect((slid.stiffness[5] as number) - (alone.stiffness[5] as number)).toBeCloseTo(2 * ei, 12);
    expect((held.stiffness[5] as number) - (slid.stiffness[5] as number)).toBeCloseTo(2 * ea * rho ** 2, 10);
    // twist: both still bend sideways
    expect(slid.stiffness[10]).toBe(held.stiffness[10]);
    expect([...slid.twistStretch]).toEqual([0, 0, 0, 0]);
    expect(held.twistStretch[2]).toBeGreaterThan(0);
  });
});
