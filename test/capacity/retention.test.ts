import { describe, expect, test } from "vitest";
import { createArm } from "../../src/arm/index.ts";
import {
  createRetention,
  createRetentionState,
  createRetentionWork,
  holdAt,
  type RetentionState,
  stepRetention,
  storedEnergy,
} from "../../src/capacity/index.ts";
import { checkBalance, createRodState, createRodWork, readFreeLengths, solveHeld, solveLocked } from "../../src/rod/index.ts";
import { twinArm } from "../rod/twin.ts";
import { earth, fullLength, lockOf, plainRequest, retentionOf } from "./run.ts";

const base = twinArm({ sections: 3, spans: 5, pretension: 5, cables: 5 });
// cables without mass, so that taking one away changes no weight
const description = { ...base, sections: base.sections.map((s) => ({ ...s, cable: { ...s.cable, massPerLength: 0 } })) };
const arm = createArm(description);
const bend = Float64Array.of(0.1, 0.2, -0.1, 0.15, 0.2, 0);
const hold = holdAt(arm, plainRequest(arm, { gravity: earth, bend }), fullLength(arm));
const state = retentionOf(arm, hold);
const load = { gravity: earth, forces: [] };

describe("a broken cable", () => {
  test.each([0, 7, 14])("cable %d: the arm built without it, at the other cables' lengths, comes to the same rest", (cable) => {
    const work = createRodWork(arm);
    const carrying = createRodState(arm);
    solveHeld(arm, load, hold.stance, bend, carrying, work);
    const free = new Float64Array(arm.cables);
    readFreeLengths(arm, carrying, work, free);
    const section = Math.floor(cable / 5);
    const without = createArm({
      ...description,
      sections: description.sections.map((s, j) =>
        j === section ? { ...s, cableAngles: s.cableAngles.filter((_, k) => k !== cable % 5) } : s,
      ),
    });
    const rest = createRodState(without);
    rest.strain.set(carrying.strain);
    const memory = createRodWork(without);
    const left = free.filter((_, c) => c !== cable);
    expect(["stable", "slack"]).toContain(solveLocked(without, load, hold.stance, left, rest, memory).status);
    expect(checkBalance(without, load, hold.stance, rest)).toBeLessThan(1e-7);
    const found = state.cases[cable];
    expect(found?.cable).toBe(cable);
    const tensions = found?.tension.filter((_, c) => c !== cable) as number[];
    expect(found?.tension[cable]).toBe(0);
    // 1e-9 rad of the stop, 1e5 N/m
    tensions.forEach((t, c) => expect(Math.abs(t - (rest.tension[c] as number))).toBeLessThan(1e-4));
    const o = 12 * without.spans;
    const tip = [0, 1, 2].map(
      (k) => (memory.frame[o + 9 + k] as number) + description.tool.length * (memory.frame[o + 3 * k + 2] as number),
    );
    tip.forEach((x, k) => expect(Math.abs(x - (found?.point[k] as number))).toBeLessThan(1e-8));
    expect(found?.moved).toBeGreaterThan(1e-4);
  });

  test("suddenly: twice the way without damping; with a tenth of critical 1.73 times (overshoot of a damped oscillator)", () => {
    for (const c of state.cases) expect(c.swing).toBeCloseTo(2 * c.moved, 12);
    const { sudden } = createRetention(arm, hold, 0.1);
    expect(sudden).toBeCloseTo(1 + Math.exp((-0.1 * Math.PI) / Math.sqrt(0.99)), 12);
    expect(sudden).toBeCloseTo(1.729, 3);
    expect(createRetention(arm, hold, 1).sudden).toBe(1);
  });

  test("its own energy goes; the first swing loads the others at least as much as the rest does", () => {
    expect(state.status).toBe("stable");
    const carried = state.lock?.rod.tension as Float64Array;
    expect(state.stored).toBeCloseTo(storedEnergy(arm, carried), 12);
    for (const c of state.cases.slice(0, arm.cables)) {
      const alone = new Float64Array(arm.cables);
      alone[c.cable] = carried[c.cable] as number;
      expect(c.lost).toBeCloseTo(storedEnergy(arm, alone), 12);
      expect(c.swingCable).toBeGreaterThanOrEqual(c.uses.cable - 1e-12);
    }
  });
});

describe("all power lost", () => {
  const [locked, released] = state.cases.slice(arm.cables);

  test("with drives that hold nothing moves", () => {
    expect([locked?.kind, locked?.status]).toEqual(["locked", "stable"]);
    expect(locked?.moved).toBeLessThan(1e-9);
    expect(locked?.stored).toBeCloseTo(state.stored, 9);
    expect(locked?.lost).toBe(0);
  });

  test("with drives that run free: as with every cable let out by a tenth of a metre, balanced by its rods alone", () => {
    expect([released?.kind, released?.status]).toEqual(["released", "stable"]);
    expect(released?.tension.every((t) => t === 0)).toBe(true);
    expect([released?.stored, released?.lost]).toEqual([0, state.stored]);
    expect(released?.drop).toBeGreaterThan(0);
    const work = createRodWork(arm);
    const loose = createRodState(arm);
    solveHeld(arm, load, hold.stance, bend, loose, work);
    const free = new Float64Array(arm.cables);
    readFreeLengths(arm, loose, work, free);
    expect(solveLocked(arm, load, hold.stance, free.map((v) => v + 0.1), loose, work).status).toBe("slack");
    const o = 12 * arm.spans;
    [0, 1, 2].forEach((k) => {
      const x = (work.frame[o + 9 + k] as number) + description.tool.length * (work.frame[o + 3 * k + 2] as number);
      expect(Math.abs(x - (released?.point[k] as number))).toBeLessThan(1e-8);
    });
  }); // biome-ignore format: one call
});

describe("a stalled drive, the others sent straight", () => {
  const straight = new Float64Array(6);
  const sent = retentionOf(arm, hold, 0.2, straight);
  const stalled = sent.cases.filter((c) => c.kind === "stalled");

  test("every drive has its case, after the broken cables; the rest are as without", () => {
    expect(stalled.map((c) => c.cable)).toEqual(Array.from({ length: 15 }, (_, c) => c));
    const others = sent.cases.filter((c) => c.kind !== "stalled");
    const before = retentionOf(arm, hold, 0.2).cases;
    expect(others).toEqual(before);
    // it goes as the drives go: no swing
    for (const c of stalled) expect([c.swing, c.lost]).toEqual([c.moved, 0]);
  });

  test.each([0, 6, 13])("cable %d: the same shape by two hundred even steps of all other lengths, balanced", (cable) => {
    const goal = lockOf(arm, holdAt(arm, plainRequest(arm, { gravity: earth, bend: straight }), fullLength(arm))).lock.free;
    const { lock, work } = lockOf(arm, hold);
    const rod = createRodState(arm);
    rod.strain.set(lock.rod.strain);
    for (let k = 1; k <= 200; k++) {
      const free = lock.free.map((l, c) => (c === cable ? l : l + (k / 200) * ((goal[c] as number) - l)));
      expect(["stable", "slack"]).toContain(solveLocked(arm, load, hold.stance, free, rod, work.rod, { ramp: false }).status);
    }
    expect(checkBalance(arm, load, hold.stance, rod)).toBeLessThan(1e-7);
    const found = stalled[cable];
    rod.tension.forEach((t, c) => expect(Math.abs(t - (found?.tension[c] as number))).toBeLessThan(1e-4));
    const o = 12 * arm.spans;
    [0, 1, 2].forEach((k) =>
      expect(Math.abs((work.rod.frame[o + 9 + k] as number) - (found?.shape[o / 4 + k] as number))).toBeLessThan(1e-8),
    );
  });

  test("the first limit passed on the way is named, with the share of the way until then", () => {
    const weak = createArm({
      ...description,
      sections: description.sections.map((s) => ({ ...s, cable: { ...s.cable, breakingLoad: 60 } })),
    });
    const cases = retentionOf(weak, hold, 0, straight).cases.filter((c) => c.kind === "stalled");
    const limited = cases.filter((c) => c.stall?.limit !== undefined);
    expect(limited.length).toBeGreaterThan(0);
    for (const c of limited) {
      expect(c.stall?.limit).toBe("cable");
      expect(c.stall?.share).toBeLessThan(1);
      expect(c.stall?.at).toBeGreaterThanOrEqual(0);
    }
    for (const c of cases) if (c.stall?.limit === undefined) expect(c.stall?.share).toBe(1);
  });

  test("where nothing is to be done nothing stalls: sent to the bends it has", () => {
    for (const c of retentionOf(arm, hold, 0, bend).cases.filter((one) => one.kind === "stalled")) {
      expect(c.moved).toBeLessThan(1e-7);
      expect(c.stall?.astray).toBeLessThan(1e-7);
    }
  });

  test("bends that the drives cannot hold leave the stall unknown", () => {
    const cases = retentionOf(arm, hold, 0, new Float64Array(6).fill(40)).cases.filter((one) => one.kind === "stalled");
    expect(cases).toHaveLength(15);
    for (const c of cases) {
      expect(["buckled", "not-converged"]).toContain(c.status);
      expect(c.moved).toBeNaN();
    }
  });

  test("left after every step and taken up with fresh memory, the same to the last bit", () => {
    const model = createRetention(arm, hold, 0.2, straight);
    let broken: RetentionState = createRetentionState();
    for (let k = 0; k < 2000 && !broken.done; k++) {
      broken = structuredClone(broken);
      stepRetention(model, broken, createRetentionWork(model));
    }
    expect(broken.cases).toEqual(sent.cases);
  });
});

test("an arm that does not carry itself has no cases, and says why", () => {
  const single = createArm(twinArm({ single: true }));
  const fallen = retentionOf(single, holdAt(single, plainRequest(single, { gravity: earth }), fullLength(single)));
  expect([fallen.done, fallen.cases.length, fallen.status]).toEqual([true, 0, "buckled"]);
});

test("left after every step and taken up with fresh memory, the cases come out the same to the last bit", () => {
  const model = createRetention(arm, hold);
  let broken: RetentionState = createRetentionState();
  for (let k = 0; k < 1000 && !broken.done; k++) {
    broken = structuredClone(broken);
    stepRetention(model, broken, createRetentionWork(model));
  }
  expect(broken).toEqual(state);
});
