/**
 * The loaded shape against a general-purpose rigid-body engine (package @mujoco/mujoco 3.14): a chain of hinged bodies with
 * tendons and gravity, out of plane. Each span there is three hinges in a point instead of an arc: the difference falls with the
 * square of a joint's angle.
 */
import { describe, expect, test } from "vitest";
import { createArm, type Section } from "../../src/arm/index.ts";
import { createRodState, createRodWork, type Load, type Stance, solveTensions } from "../../src/rod/index.ts";
import { type Plate, settleInEngine } from "../rod/engine.ts";
import { twinArm } from "../rod/twin.ts";
import { reach } from "./reach.ts";

const upright: Stance = { base: Float64Array.of(1, 0, 0, 0, 1, 0, 0, 0, 1, 0, 0, 0), exit: 0 };

/** One rod on the axis, bending 1.33 times as stiff as twisting; vertebrae of 3 g, a tool of 20 g off the axis. */
function chain(sections: number, spans: number) {
  const whole = twinArm({ sections, spans, single: true });
  const light = <T extends { density: number }>(material: T): T => ({ ...material, density: 0 });
  return createArm(
    {
      ...whole,
      sections: whole.sections.map(
        (s): Section => ({
          ...s,
          vertebraMass: 3e-3,
          cable: { ...s.cable, massPerLength: 0 },
          rods: s.rods.map((rod) => ({ ...rod, material: light(rod.material) })),
        }),
      ),
      tool: { ...whole.tool, mass: 0.02, centre: [4e-3, -3e-3, 15e-3] },
    },
    { lock: ["axial"] },
  );
}

const cases: [string, Load["gravity"], number[]][] = [
  ["gravity alone, aslant", [5, -3, -7.88], [0, 0, 0, 0, 0, 0]],
  ["cables pull an S out of the plane, gravity across", [-1, 9, -3.77], [16, 1, 1, 1, 12, 2]],
];

describe("two sections of eight spans, three cables each", () => {
  test.each(cases)("%s: tip within 1 % of the length", { timeout: 60_000 }, async (_, gravity, tension) => {
    const arm = chain(2, 8);
    const load: Load = { gravity, forces: [] };
    const state = createRodState(arm);
    const work = createRodWork(arm);
    state.tension.set(tension);
    expect(solveTensions(arm, load, upright, state, work).status).toBe("stable");
    const engine = await settleInEngine(arm, load, tension, 12);
    // moving by less than 1e-4 rad/s: what is left of a mode of a tenth of a second is 1e-5 rad
    expect(engine.residual).toBeLessThan(1e-4);
    const length = arm.along[arm.spans] as number;
    const tip = [0, 1, 2].map((r) => work.frame[12 * arm.spans + 9 + r] as number);
    const theirs = [0, 1, 2].map((r) => engine.place[3 * arm.spans + r] as number);
    // it left its straight line by far; pulled across, its middle also leaves the plane of base axis and tip
    const [x, y] = tip as [number, number];
    expect(Math.hypot(x, y)).toBeGreaterThan(0.2 * length);
    const middle = 12 * (arm.spans / 2) + 9;
    const off = Math.abs((work.frame[middle] as number) * y - (work.frame[middle + 1] as number) * x) / Math.hypot(x, y);
    if (tension.some((t) => t > 0)) expect(off).toBeGreaterThan(0.03 * length);
    reach("engineTip", Math.hypot(...tip.map((v, r) => v - (theirs[r] as number))) / length);
    for (let i = 1; i <= arm.spans; i++) {
      const apart = [0, 1, 2].map((r) => (work.frame[12 * i + 9 + r] as number) - (engine.place[3 * i + r] as number));
      reach("engineBody", Math.hypot(...apart) / length);
    }
    // the tip's own turn, and the cables' travel
    let turn = 0;
    for (let r = 0; r < 9; r++) turn = Math.max(turn, Math.abs((work.frame[12 * arm.spans + r] as number) - (engine.tipTurn[r] as number)));
    expect(turn).toBeLessThan(0.03);
    for (let c = 0; c < arm.cables; c++)
      expect(Math.abs((work.cableLength[c] as number) - (engine.cableLength[c] as number))).toBeLessThan(2e-4);
  });
});

describe("laid on a smooth plate by gravity that also pulls it along", () => {
  const whole = chain(2, 8);
  const arm = createArm({ ...whole.description, tool: { ...whole.description.tool, diameter: 0, length: 0 } }, { lock: ["axial"] });
  test.each<[string, Load["gravity"], number[], Plate, number]>([
    ["the tip alone, slack", [-9, 2, 3], [0, 0, 0, 0, 0, 0], { at: [-0.02, 0, 0], normal: [1, 0, 0] }, 1],
    ["the tip alone, cables pull it to the side", [-9, -1, 0], [1, 6, 1, 1, 1, 5], { at: [-0.02, 0, 0], normal: [1, 0, 0] }, 1],
    [
      "its last vertebrae, three times as heavy, the plate aslant",
      [-30, 3, -5],
      [2, 1, 1, 1, 1, 1],
      { at: [-0.01, 0, 0], normal: [Math.cos(Math.PI / 6), 0.5, 0] },
      3,
    ],
  ])("%s: where it lies and what the plate bears", { timeout: 60_000 }, async (_, gravity, tension, plate, touching) => {
    const load: Load = { gravity, forces: [], walls: { field: { walls: [{ kind: "plane", ...plate }] }, stiffness: 1e5 } };
    const state = createRodState(arm);
    const work = createRodWork(arm);
    state.tension.set(tension);
    expect(solveTensions(arm, load, upright, state, work).status).toBe("stable");
    const engine = await settleInEngine(arm, load, tension, 12, undefined, plate);
    expect(engine.residual).toBeLessThan(1e-4);
    const length = arm.along[arm.spans] as number;
    const push = Float64Array.from({ length: arm.spans + 1 }, (_, i) =>
      plate.normal.reduce((sum, n, k) => sum + n * (work.contact[3 * i + k] as number), 0),
    );
    const total = push.reduce((sum, f) => sum + f, 0);
    expect(total).toBeGreaterThan(0.1);
    expect(push.filter((f) => f > 0.01 * total).length).toBeGreaterThanOrEqual(touching);
    // which of neighbours bears how much hangs on micrometres: rims of twelve corners here, whole discs there. Where they bear on the whole does not
    const middle = (pushes: Float64Array): number => pushes.reduce((sum, f, i) => sum + f * i, 0) / pushes.reduce((sum, f) => sum + f, 0);
    expect(Math.abs(middle(push) - middle(engine.push))).toBeLessThan(0.5);
    reach("enginePlateForce", engine.push.reduce((sum, f) => sum + f, 0) / total - 1);
    for (let i = 1; i <= arm.spans; i++) {
      const apart = [0, 1, 2].map((r) => (work.frame[12 * i + 9 + r] as number) - (engine.place[3 * i + r] as number));
      reach("enginePlate", Math.hypot(...apart) / length);
    }
  });
});
