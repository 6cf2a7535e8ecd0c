import { afterAll, describe, expect, it } from "vitest";
import { openPool, solveLoadsOn } from "../../apps/worker/many-cores.ts";
import { type LoadBatch, solveLoads } from "../../apps/worker/solve-loads.ts";
import { createArm } from "../../src/arm/index.ts";
import { createRandom, InputError } from "../../src/base/index.ts";
import { checkBalance, createRodState, createRodWork, type Load, solveHeld } from "../../src/rod/index.ts";
import { stanceAlongX } from "../rod/arms.ts";
import { twinArm } from "../rod/twin.ts";

const arm = twinArm({ sections: 2, spans: 4 });
const random = createRandom(71);
const gravity: Load["gravity"] = [0, 0, -9.81];
const loads = Array.from({ length: 450 }, (): Load => {
  const force = [0, 1, 2].map(() => 2 * random() - 1) as [number, number, number];
  return { gravity, forces: [{ vertebra: 8, force, at: [0, 0, 0.01] }] };
});
const batch: LoadBatch = {
  arm,
  stance: stanceAlongX(),
  bend: Float64Array.of(0.2, -0.1, 0.1, 0.15),
  reference: { gravity, forces: [] },
  drives: "held",
  loads,
};

const one = openPool(1);
const two = openPool(2);
afterAll(() => [one, two].forEach((pool) => pool.close()));

describe("many loads over many cores (seed 71)", { timeout: 120_000 }, () => {
  it.each(["held", "locked"] as const)(
    "%s: the same bits on this thread, on one more and on two, in the order of the loads",
    async (drives) => {
      const here = solveLoads({ ...batch, drives });
      expect(here.status.every((status) => status === "stable" || status === "slack")).toBe(true);
      for (const cores of [1, 2]) {
        const told: number[] = [];
        const there = await solveLoadsOn({ ...batch, drives }, { pool: cores === 1 ? one : two, report: (done) => told.push(done) });
        expect(there).toEqual(here);
        expect(told.at(-1)).toBe(450);
      }
    },
  );

  it("gives the shape that a cold solve of that load alone gives, balanced by a second computation", () => {
    const model = createArm(arm);
    const { tip, tension } = solveLoads({ ...batch, loads: loads.slice(0, 5) });
    for (let k = 0; k < 5; k++) {
      const state = createRodState(model);
      const work = createRodWork(model);
      solveHeld(model, loads[k] as Load, batch.stance, batch.bend, state, work);
      expect(checkBalance(model, loads[k] as Load, batch.stance, state)).toBeLessThan(1e-7);
      // steps end at 1e-8 rad: what is left is a square of it
      for (let n = 0; n < 12; n++) expect(Math.abs((tip[12 * k + n] as number) - (work.frame[96 + n] as number))).toBeLessThan(1e-9);
      state.tension.forEach((t, c) => expect(Math.abs(t - (tension[6 * k + c] as number))).toBeLessThan(1e-6));
    }
  });

  it("says of all faulty loads which they are", async () => {
    const faulty = loads.map((load, k) =>
      k === 3 || k === 333 ? { ...load, forces: [{ vertebra: 99, force: [0, 0, 0], at: [0, 0, 0] }] } : load,
    );
    const error = await solveLoadsOn({ ...batch, loads: faulty as Load[] }, { pool: two }).catch((caught) => caught);
    expect(error).toBeInstanceOf(InputError);
    expect((error as InputError).faults.map((fault) => [fault.code, fault.path])).toEqual([
      ["solve.vertebra", "loads[3].forces[0].vertebra"],
      ["solve.vertebra", "loads[333].forces[0].vertebra"],
    ]);
  });

  it("says once what is wrong with the reference", async () => {
    const error = await solveLoadsOn({ ...batch, bend: new Float64Array(3) }, { pool: two }).catch((caught) => caught);
    expect((error as InputError).faults.map((fault) => fault.path)).toEqual(["bend"]);
  });

  it("gives no numbers where there is no balance, and none at all for locked drives without a reference", () => {
    const far: Load = { gravity: [0, 0, Number.NaN], forces: [] };
    const some = solveLoads({ ...batch, loads: [loads[0] as Load, far] });
    expect(some.status).toEqual(["stable", "not-converged"]);
    expect(some.tip.slice(12).every(Number.isNaN)).toBe(true);
    const none = solveLoads({ ...batch, drives: "locked", reference: far, loads: [loads[0] as Load] });
    expect([none.reference, ...none.status]).toEqual(["not-converged", "not-converged"]);
  });

  it("ends when it is told to", async () => {
    const controller = new AbortController();
    const many = Array.from({ length: 20 }, () => loads).flat();
    const running = solveLoadsOn(
      { ...batch, loads: many },
      { pool: one, signal: controller.signal, report: () => controller.abort(new Error("enough")) },
    );
    await expect(running).rejects.toThrow("enough");
  });
});
