/** Arms and drums drawn at random within what people build: every row is a balance, or says that it is none. */
import { expect, test } from "vitest";
import { type ArmDescription, createArm } from "../../src/arm/index.ts";
import { createRandom } from "../../src/base/index.ts";
import { createDrum, createDrumState, createDrumWork, readDrum, stepDrum } from "../../src/drum/index.ts";
import { checkBalance } from "../../src/rod/index.ts";
import { twinArm } from "../rod/twin.ts";

const seed = 5;
const random = createRandom(seed);
const between = (low: number, high: number): number => low + (high - low) * random();

function drawArm(): ArmDescription {
  const arm = twinArm({
    sections: 1 + Math.floor(between(0, 5)),
    spans: 2 * (1 + Math.floor(between(0, 7))),
    single: random() < 0.4,
    cables: 3 + Math.floor(between(0, 2)),
    pretension: between(0.5, 20),
  });
  const diameter = between(0.5e-3, 1.2e-3);
  const rub = { low: 0.05, nominal: 0.1, high: 0.2 };
  return {
    ...arm,
    sections: arm.sections.map((s) => ({ ...s, rods: s.rods.map((r) => ({ ...r, diameter })) })),
    ...(random() < 0.5 ? { friction: { holes: rub, conduit: rub, conduitTurn: 1 } } : {}),
  };
}

test(`twenty arms on twenty drums (seed ${seed})`, () => {
  for (let n = 0; n < 20; n++) {
    const arm = createArm(drawArm());
    const model = createDrum(arm, {
      drum: {
        radius: between(0.06, 0.3),
        lay: random() < 0.5 ? "helix" : "spiral",
        pitch: between(10e-3, 60e-3),
        bentBy: random() < 0.8 ? "sections" : "drum",
        start: between(0, 6),
        friction: { low: 0.1, nominal: 0.2, high: 0.3 },
        pull: 0,
      },
    });
    const state = createDrumState(model);
    const work = createDrumWork(model);
    let steps = 0;
    while (state.stage !== "done" && steps++ < 2000) stepDrum(model, state, work);
    expect(state.stage, `arm ${n}`).toBe("done");
    const { rows, faults } = readDrum(model, state);
    for (const row of rows) {
      const held = row.winding.status === "stable" || row.winding.status === "slack";
      expect(Number.isFinite(row.strain.value), `arm ${n}, ${row.spans} spans`).toBe(held);
      if (!held) expect(faults.map((fault) => fault.kind)).toContain("balance");
    }
    const last = rows[rows.length - 1]?.winding.status;
    // what the drum bends is balanced by its pushes, not by itself
    if (last !== "stable" || model.request.drum.bentBy === "drum") continue;
    // weightless: where it stands does not matter to the balance. Joints carry some tenths of a newton metre.
    const stance = { base: Float64Array.of(1, 0, 0, 0, 1, 0, 0, 0, 1, 0, 0, 0), exit: 0 };
    expect(checkBalance(model.arm, { gravity: [0, 0, 0], forces: [] }, stance, state.wound!), `arm ${n}`).toBeLessThan(1e-7);
  }
});
