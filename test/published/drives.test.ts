/** Drives of cables against worked numbers and a rope handbook. */
import { describe, expect, test } from "vitest";
import { bendsToBreak, loadGear, relativeLife } from "../../src/drive/index.ts";
import { reach } from "./reach.ts";

const share = (value: number, truth: number): number => value / truth - 1;

describe("200 N at 20 mm/s on a spool of 15 mm, one half turn at a coefficient of 0.1 between (Euler and Eytelwein; power is force times speed)", () => {
  test("at the spool 3.000 N m, 1.333333 rad/s = 12.7324 rpm, 4.000 W", () => {
    const { torque, power } = loadGear(undefined, 200, 15e-3, 20e-3);
    reach("driveLoad", share(torque, 3));
    reach("driveLoad", share(power, 4));
    const turnRate = 20e-3 / 15e-3;
    expect(turnRate).toBeCloseTo(1.333333, 6);
    expect((turnRate * 30) / Math.PI).toBeCloseTo(12.7324, 4);
    expect(torque * turnRate).toBeCloseTo(power, 12);
  });

  test("beyond the half turn 273.8216 N and 5.476431 W", () => {
    const pull = 200 * Math.exp(0.1 * Math.PI);
    expect(pull).toBeCloseTo(273.8216, 4);
    reach("driveLoad", share(loadGear(undefined, pull, 15e-3, 20e-3).power, 5.476431));
  });
});

describe("life of a bent rope", () => {
  test("relative lives of a rope handbook's table: 30 times the rope's diameter 10.0, 25 6.6, 20 3.8, 18 2.9, 16 2.1, 14 1.5, 12 1.1", () => {
    for (const [ratio, life] of [
      [30, 10],
      [25, 6.6],
      [20, 3.8],
      [18, 2.9],
      [16, 2.1],
      [14, 1.5],
      [12, 1.1],
    ] as const)
      reach("bendLife", share(relativeLife(ratio), life));
  });

  test("its worked example: a sheave of 30 instead of 16 rope diameters, 4.7 times the life", () => {
    reach("bendLifeRatio", share(bendsToBreak(30, 50, 1e-3) / bendsToBreak(16, 50, 1e-3), 4.7));
  });

  test("at 20 rope diameters and 20 kp/mm2 Niemann's 170 000 (11/24)^2 = 35 712 bends (from memory)", () => {
    const area = (0.55 * Math.PI) / 4;
    expect(bendsToBreak(20, 20 * 9.80665 * area, 1e-3)).toBeCloseTo(35711.8, 0);
  });

  test("more pull, less life; sharper than six diameters, nothing is said", () => {
    expect(bendsToBreak(20, 100, 1e-3)).toBeLessThan(bendsToBreak(20, 50, 1e-3));
    expect(bendsToBreak(5.9, 50, 1e-3)).toBeNaN();
  });
});
