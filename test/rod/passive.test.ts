/** A passive length before the sections that have cables: it bends as an elastic rod does, by closed forms and by an arm that says the same otherwise. */
import { describe, expect, test } from "vitest";
import { createArm } from "../../src/arm/index.ts";
import { checkBalance, createRodState, createRodWork, firstHeld, heldResponse, solveHeld, solveTensions } from "../../src/rod/index.ts";
import { stanceAlongX } from "./arms.ts";
import { twinArm } from "./twin.ts";

/** `passive` lengths of `spans` joints, then `active` sections. */
function armWith(passive: number, active: number, options: { pretension?: number; tool?: number } = {}) {
  const whole = twinArm({
    sections: passive + active,
    spans: 10,
    single: true,
    pretension: options.pretension ?? 5,
    tool: options.tool ?? 0.02,
  });
  return createArm({
    ...whole,
    sections: whole.sections.map((section, j) => (j < passive ? { ...section, cableAngles: [] } : section)),
  });
}

describe("a passive length", () => {
  test("sags as the elastic line of a clamped beam with an end load: F L^3 / 3 EI, small bends (handbook beam formula)", () => {
    // the active section weighs nothing and lies straight: a tool at the end of both
    const whole = twinArm({ sections: 2, spans: 40, single: true, pretension: 1e-6, tool: 1e-5 });
    const arm = createArm({
      ...whole,
      tool: { ...whole.tool, centre: [0, 0, 0], length: 0 },
      sections: whole.sections.map((section, j) => ({
        ...section,
        vertebraMass: 1e-9,
        flexible: 10e-3 - 1e-6,
        effectiveLength: 10e-3 - 1e-6,
        rods: section.rods.map((rod) => ({ ...rod, material: { ...rod.material, density: 1e-6 } })),
        cable: { ...section.cable, massPerLength: 0 },
        cableAngles: j === 0 ? [] : section.cableAngles,
      })),
    });
    const state = createRodState(arm);
    const work = createRodWork(arm);
    const force = 0.001;
    const report = solveHeld(
      arm,
      { gravity: [0, 0, 0], forces: [{ vertebra: 40, force: [0, 0, -force], at: [0, 0, 0] }] },
      stanceAlongX(),
      new Float64Array(4),
      state,
      work,
    );
    expect(report.status).toBe("stable");
    expect(firstHeld(arm, work)).toBe(1);
    const ei = (60e9 * Math.PI * 1e-3 ** 4) / 64;
    const drop = -(work.frame[12 * 40 + 11] as number);
    // the cables of 1 uN through it add nothing; the discrete joints and the small angles leave a thousandth
    expect(Math.abs(drop / ((force * 0.4 ** 3) / (3 * ei)) - 1)).toBeLessThan(2e-3);
  });

  test("under the tensions that hold its sections it lies where the tensions alone put it, and is balanced", () => {
    const arm = armWith(2, 2);
    const load = { gravity: [0, 0, -9.81] as [number, number, number], forces: [] };
    const state = createRodState(arm);
    const work = createRodWork(arm);
    const bend = Float64Array.of(0, 0, 0, 0, 0.3, -0.4, 0.2, 0.5);
    const report = solveHeld(arm, load, stanceAlongX(), bend, state, work);
    expect(["stable", "slack"]).toContain(report.status);
    expect(checkBalance(arm, load, stanceAlongX(), state)).toBeLessThan(1e-8);
    for (let j = 2; j < 4; j++) for (let k = 0; k < 2; k++) expect(work.bend[2 * j + k]).toBeCloseTo(bend[2 * j + k] as number, 7);
    const held = work.frame.slice();
    const again = createRodState(arm);
    again.strain.set(state.strain);
    again.tension.set(state.tension);
    const free = solveTensions(arm, load, stanceAlongX(), again, work);
    expect(free.status).toBe("stable");
    for (let k = 0; k < held.length; k++) expect(work.frame[k]).toBeCloseTo(held[k] as number, 7);
  });

  test("its sensitivities are those of solving again", () => {
    const arm = armWith(1, 2);
    const load = { gravity: [0, 0, -9.81] as [number, number, number], forces: [] };
    const work = createRodWork(arm);
    const bend = Float64Array.of(0, 0, 0.3, -0.4, 0.2, 0.5);
    const at = (mode: number, by: number) => {
      const state = createRodState(arm);
      const moved = bend.slice();
      moved[mode] = (moved[mode] as number) + by;
      expect(["stable", "slack"]).toContain(solveHeld(arm, load, stanceAlongX(), moved, state, work).status);
      return work.frame.slice(12 * arm.spans + 9);
    };
    for (let mode = 2; mode < 6; mode++) {
      const rise = at(mode, 1e-5).map((value, r) => (value - (at(mode, -1e-5)[r] as number)) / 2e-5);
      at(mode, 0);
      heldResponse(arm, work);
      const f = 12 * arm.spans;
      const o = 6 * ((arm.spans + 1) * mode + arm.spans);
      for (let r = 0; r < 3; r++) {
        const told = [0, 1, 2].reduce((sum, k) => sum + (work.frame[f + 3 * r + k] as number) * (work.response[o + 3 + k] as number), 0);
        expect(told).toBeCloseTo(rise[r] as number, 5);
      }
    }
  });

  test("only before the first section with cables, and not alone", () => {
    const whole = twinArm({ sections: 2, spans: 4 });
    const bare = (which: (j: number) => boolean) => () =>
      createArm({ ...whole, sections: whole.sections.map((section, j) => (which(j) ? { ...section, cableAngles: [] } : section)) });
    expect(bare((j) => j === 1)).toThrow(/after a section with cables/);
    expect(bare(() => true)).toThrow(/no section has any cable/);
    expect(bare((j) => j === 0)).not.toThrow();
  });
});
