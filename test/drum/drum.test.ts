import { describe, expect, test } from "vitest";
import { type ArmDescription, type ArmModel, createArm, type Drum } from "../../src/arm/index.ts";
import { InputError } from "../../src/base/index.ts";
import {
  createDrum,
  createDrumState,
  createDrumWork,
  type DrumModel,
  type DrumRequest,
  type DrumResult,
  type DrumState,
  readDrum,
  stepDrum,
} from "../../src/drum/index.ts";
import { checkBalance } from "../../src/rod/index.ts";
import { plainRod } from "../rod/arms.ts";
import { twinArm } from "../rod/twin.ts";

const core = { low: 0.05, nominal: 0.1, high: 0.2 };

function drumOf(change: Partial<Drum> = {}): Drum {
  return { radius: 0.15, lay: "helix", pitch: 17e-3, bentBy: "sections", start: 0, friction: core, pull: 10, ...change };
}

function run(description: ArmDescription, request: DrumRequest): { arm: ArmModel; model: DrumModel; state: DrumState; result: DrumResult } {
  const arm = createArm(description);
  const model = createDrum(arm, request);
  const state = createDrumState(model);
  const work = createDrumWork(model);
  while (state.stage !== "done") stepDrum(model, state, work);
  return { arm, model, state, result: readDrum(model, state) };
}

/** Four cables a section at 8 mm, the first in the plane of the bend; vertebrae without thickness, axis 10 mm off the core, no give in length. */
const ei = (60e9 * Math.PI * 1e-3 ** 4) / 64;
function plain(radius: number, angle: number, sections = 2): ArmDescription {
  const quarter = Math.PI / 2;
  const angles = Array.from({ length: sections }, (_, j) => [0, 1, 2, 3].map((k) => (k + (j === sections - 1 ? 0 : 0.5)) * quarter));
  const rod = plainRod({ length: angle * (radius + 0.01), spans: 24 * sections, ei, cables: angles, pretension: 5 });
  return {
    ...rod,
    sections: rod.sections.map((s) => ({
      ...s,
      outerDiameter: 20e-3,
      rods: s.rods.map((r) => ({ ...r, material: { ...r.material, youngModulus: 60e9 } })),
      cable: { ...s.cable, breakingLoad: 1000 },
    })),
  };
}

const flat = (radius: number): Drum => drumOf({ radius, pitch: 1e-6, roll: Math.PI / 2 });

describe("a plain rod, half a turn on a core (closed forms)", () => {
  const { arm, state, model, result } = run(plain(0.09, Math.PI), { drum: flat(0.09) });
  const full = result.rows[result.rows.length - 1]!;

  test("it turns by half a turn, its strain is d/2R and its joint pitch over radius", () => {
    expect(full.spans).toBe(48);
    // the cables push it together by some hundredths of a per cent
    expect(full.wrap / Math.PI).toBeCloseTo(1, 2);
    expect(full.joint.value).toBeCloseTo(Math.PI / 48, 4);
    // bending 1 mm on 100 mm: 0.5 %; the cables' push adds some hundredths
    const push = (4 * 5 + 5 * 3 + (full.winding.entry[4] as number)) / (60e9 * Math.PI * 0.25e-6);
    expect(full.strain.value).toBeCloseTo(0.005 + push, 4);
  });

  test("the last section's cable carries the whole moment EI/R at its lever beyond the pretension, those before it none", () => {
    const more = [...full.winding.entry].map((t) => t - 5);
    const strongest = Math.max(...more);
    expect(more.indexOf(strongest)).toBeGreaterThanOrEqual(4);
    // straight cables from hole to hole at 8 mm, R = 100 mm
    expect(strongest / (ei / 0.1 / 8e-3)).toBeCloseTo(1, 1);
    for (const t of more.slice(0, 4)) expect(Math.abs(t)).toBeLessThan(0.05 * strongest);
  });

  test("the wound arm is in balance by the second computation too", () => {
    expect(state.wound).toBeDefined();
    const coil = { gravity: [0, 0, 0] as const, forces: [] };
    expect(checkBalance(arm, coil, { base: Float64Array.of(1, 0, 0, 0, 1, 0, 0, 0, 1, 0, 0, 0), exit: 0 }, state.wound!)).toBeLessThan(
      1e-8,
    );
    expect(model.counts).toEqual([0, 12, 24, 36, 48]);
  });

  test("without friction it pays out as it was wound up", () => {
    for (const row of result.rows.slice(0, -1)) {
      row.winding.entry.forEach((t, c) => expect(row.paying?.entry[c] as number).toBeCloseTo(t, 3));
      expect(row.winding.drive).toEqual(row.winding.entry);
    }
  });

  test("of a pull at the mouth exp(-mu turning) comes to the anchor: 1/1.369108 at 0.1 over 180 degrees (belt friction table)", () => {
    const { result: tenth } = run(plain(0.09, Math.PI), { drum: { ...flat(0.09), friction: { low: 0.1, nominal: 0.1, high: 0.1 } } });
    const last = tenth.rows[tenth.rows.length - 1]!;
    expect(last.anchor[0]).toBeCloseTo(1 / 1.369108, 3);
    expect(last.anchor[0]).toBe(last.anchor[1]);
  });
});

describe("friction of the cables (belt friction table: 0.1 over 180 degrees 1.369108, over 90 degrees 1.170089)", () => {
  const mu = { low: 0.1, nominal: 0.1, high: 0.1 };
  const none = { low: 0, nominal: 0, high: 0 };
  const { result } = run({ ...plain(0.09, Math.PI), friction: { holes: mu, conduit: none, conduitTurn: 0 } }, { drum: flat(0.09) });
  const at = (spans: number) => result.rows.find((row) => row.spans === spans)!;

  test("a cable that goes all round turns as the arm does, and loses as much", () => {
    expect(at(48).capstan.turned).toBeCloseTo(Math.PI, 1);
    expect(at(48).capstan.factor).toBeCloseTo(1.369108, 2);
    expect(at(24).capstan.factor).toBeCloseTo(1.170089, 2);
  });

  test("wound up, the strongest cable is drawn in and needs more than without friction, between 1 and the whole factor", () => {
    const smooth = run(plain(0.09, Math.PI), { drum: flat(0.09) }).result;
    for (const spans of [24, 48]) {
      const free = smooth.rows.find((row) => row.spans === spans)!.winding;
      const ratio = Math.max(...at(spans).winding.drive) / Math.max(...free.drive);
      expect(ratio).toBeGreaterThan(1.02);
      expect(ratio).toBeLessThan(at(spans).capstan.factor ** 2);
    }
  });

  test("paid out in the middle of a section, its cable is let out and pulls less at the drive than while it was drawn in", () => {
    for (const spans of [12, 36]) {
      const row = at(spans);
      const c = row.winding.cable;
      expect(row.paying?.drive[c] as number).toBeLessThan(row.winding.drive[c] as number);
    }
  });
});

describe("an arm of the trade: eight sections of twelve spans, twin 0.9 mm rods, on a core of 150 mm radius", () => {
  const arm = twinArm({ pretension: 8 });
  const trade = { ...arm, sections: arm.sections.map((s) => ({ ...s, rods: s.rods.map((r) => ({ ...r, diameter: 0.9e-3 })) })) };
  const { result } = run(trade, { drum: drumOf() });
  const full = result.rows[result.rows.length - 1]!;

  test("it takes about a turn: 0.96 m at a radius of 150 mm and half a vertebra", () => {
    expect(full.turns).toBeCloseTo(0.96 / (2 * Math.PI * 0.158), 1);
    expect(full.paidOut).toBeCloseTo(0.03, 12);
    expect(result.rows[0]!.paidOut).toBeCloseTo(0.99, 12);
  });

  test("hinges that bend one way each share the turn: at 45 degrees each takes the square root of two of it", () => {
    expect((result.roll * 180) / Math.PI).toBeCloseTo(45, 6);
    const even = 0.01 / 0.158;
    expect(full.joint.value / even).toBeGreaterThan(1.4);
    // the helix turns the bend's direction on along the arm
    expect(full.joint.value / even).toBeLessThan(1.6);
    expect(full.joint.use).toBeLessThan(1);
  });

  test("its rods stay within what is allowed once; bending is d/2 over the hinge's own radius", () => {
    const bending = ((0.9e-3 / 2) * full.joint.value) / 2.5e-3;
    expect(full.strain.value).toBeGreaterThan(bending);
    expect(full.strain.use).toBeLessThan(1);
  });

  test("every row is balanced, in its order, and each section's own cables do the work where it is the last on the drum", () => {
    for (const row of result.rows) {
      expect(row.winding.status).toBe("stable");
      if (row.spans === 0) continue;
      const section = Math.ceil(row.spans / 12) - 1;
      expect(Math.floor(row.winding.cable / 3)).toBe(section);
    }
  });

  test("its last half turn comes off by more than half a vertebra without a cover, and may with one", () => {
    expect(result.faults.map((fault) => fault.kind)).toEqual(["lies"]);
    expect(run(trade, { drum: drumOf({ cover: 2e-3 }) }).result.faults).toEqual([]);
  });
});

describe("bent by the drum, its cables at their pretension", () => {
  const arm = twinArm({ pretension: 8 });
  const rub = { low: 0.1, nominal: 0.1, high: 0.1 };
  const conduit = { low: 0, nominal: 0, high: 0 };
  const trade = { ...arm, friction: { holes: rub, conduit, conduitTurn: 0 } };
  const request = { drum: drumOf({ bentBy: "drum", cover: 1e-3 }) };
  const { result } = run(trade, request);
  const full = result.rows[result.rows.length - 1]!;

  test("it fits; joints are where the lay has them, as with its own sections", () => {
    expect(result.faults).toEqual([]);
    const own = run(arm, { drum: drumOf({ cover: 1e-3 }) }).result;
    const there = own.rows[own.rows.length - 1]!;
    expect(full.joint.value / there.joint.value).toBeCloseTo(1, 1);
    expect(full.gap).toBeLessThan(0.3e-3);
  });

  test("a cable that is drawn in needs its pretension times the capstan factor at the drive, one let out its pretension (belt friction)", () => {
    const most = Math.max(...full.winding.drive);
    expect(most / 8).toBeGreaterThan(1.5);
    expect(most / 8).toBeLessThanOrEqual(full.capstan.factor * 1.0001);
    expect(Math.min(...full.winding.drive)).toBeGreaterThanOrEqual(8 - 1e-9);
    expect(full.winding.least).toBeCloseTo(8, 6);
    // far below what its own sections would take
    expect(full.winding.use).toBeLessThan(0.5);
  });

  test("without a cover nothing keeps it there", () => {
    expect(run(trade, { drum: drumOf({ bentBy: "drum" }) }).result.faults.map((fault) => fault.kind)).toEqual(["lies"]);
  });
});

describe("faults by name", () => {
  const arm = twinArm({ sections: 4, spans: 8, pretension: 8 });
  const covered = { cover: 1e-3 };
  const kinds = (request: DrumRequest, description = arm): string[] => run(description, request).result.faults.map((fault) => fault.kind);

  test("fits", () => expect(kinds({ drum: drumOf(covered) })).toEqual([]));
  test("a core that is too small: joints meet their stops", () =>
    expect(kinds({ drum: drumOf({ ...covered, radius: 0.05 }) })).toContain("joint"));
  test("rods that allow less", () => {
    const weak = (s: (typeof arm.sections)[number]) => ({
      ...s,
      rods: s.rods.map((r) => ({ ...r, material: { ...r.material, allowedStrain: 0.01 } })),
    });
    expect(kinds({ drum: drumOf(covered) }, { ...arm, sections: arm.sections.map(weak) })).toEqual(["strain"]);
  });
  test("cables that are too weak", () => {
    expect(kinds({ drum: drumOf(covered) }, { ...arm, cableDesignFactor: 6 })).toEqual(["cable"]);
  });
  test("a hose and a stiff piece in the channel", () => {
    const hose = { name: "lead", bendingStiffness: 0, torsionStiffness: 0, massPerLength: 0.01, leastRadius: 0.2 };
    const hosed = { ...arm, sections: arm.sections.map((s) => ({ ...s, hoses: [hose] })) };
    expect(kinds({ drum: drumOf(covered) }, hosed)).toEqual(["channel", "channel", "channel", "channel"]);
    expect(kinds({ drum: drumOf(covered), insert: { diameter: 4e-3, length: 0.05 } })).toEqual(["channel"]);
    expect(kinds({ drum: drumOf(covered), insert: { diameter: 4e-3, length: 0.02 } })).toEqual([]);
  });
  test("turns over each other, and flanges too near", () => {
    const long = twinArm({ sections: 4, spans: 12, pretension: 8 });
    expect(kinds({ drum: drumOf({ ...covered, radius: 0.06, pitch: 10e-3 }) }, long)).toContain("lay");
    expect(kinds({ drum: drumOf({ ...covered, width: 15e-3 }) })).toEqual(["flange"]);
    expect(kinds({ drum: drumOf({ ...covered, lay: "spiral", flange: 0.3 }) })).toEqual(["flange"]);
  });
});

test("cancelled after every k-th step and resumed from a copy with a fresh workspace: the same result", () => {
  const arm = createArm({
    ...twinArm({ sections: 3, spans: 6, pretension: 8 }),
    friction: { holes: core, conduit: core, conduitTurn: 1 },
  });
  const model = createDrum(arm, { drum: drumOf() });
  const results = [0, 1, 4].map((every) => {
    let state = createDrumState(model);
    let work = createDrumWork(model);
    for (let step = 0; state.stage !== "done"; step++) {
      if (every > 0 && step % every === 0) {
        state = structuredClone(state);
        work = createDrumWork(model);
      }
      stepDrum(model, state, work);
    }
    return readDrum(model, state);
  });
  expect(results[1]).toEqual(results[0]);
  expect(results[2]).toEqual(results[0]);
});

test("a guide that gives does not bear on the coil: the anchor holds fast", () => {
  const arm = twinArm({ sections: 2, spans: 6, pretension: 8 });
  const rigid = run(arm, { drum: drumOf() }).result;
  const soft = run({ ...arm, base: { compliance: [1e-2, 1e-2, 1e-2, 0, 0, 0] } }, { drum: drumOf() }).result;
  expect(soft.hang).toEqual(rigid.hang);
});

test("what cannot be is refused, all of it at once", () => {
  const arm = createArm(twinArm({ sections: 1, spans: 4 }));
  const bad: DrumRequest = {
    drum: drumOf({ radius: 0, pitch: -1, width: 0, pull: -5, friction: { low: -0.1, nominal: 0, high: 0 } }),
    insert: { diameter: 0, length: Number.NaN },
    step: 3,
  };
  try {
    createDrum(arm, bad);
    expect.unreachable();
  } catch (error) {
    const { faults } = error as InputError;
    expect(error).toBeInstanceOf(InputError);
    expect(faults.map((fault) => fault.path)).toEqual([
      "drum.radius",
      "drum.pitch",
      "drum.width",
      "drum.friction",
      "drum.pull",
      "insert.diameter",
      "insert.length",
      "step",
    ]);
    expect(new Set(faults.map((fault) => fault.code))).toEqual(new Set(["drum.value"]));
  }
});
