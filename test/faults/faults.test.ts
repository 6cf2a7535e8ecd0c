import { describe, expect, test } from "vitest";
import type { ArmDescription } from "../../src/arm/index.ts";
import {
  createFaultsState,
  createFaultsWork,
  type FaultFinding,
  reachOf,
  readFaults,
  stateAt,
  stepFaults,
} from "../../src/faults/index.ts";
import { startWalk, stepWalk } from "../../src/faults/walk-out.ts";
import { armLength } from "../../src/insertion/index.ts";
import { rollFrame } from "../../src/math/index.ts";
import { createRodState, createRodWork, solveTensions } from "../../src/rod/index.ts";
import type { Body } from "../../src/space/index.ts";
import { bentRoute, identity, insertionAlong, spaceOf } from "../insertion/made-route.ts";
import { twinArm } from "../rod/twin.ts";
import { faultsOf, indicesOf, runFaults } from "./made-faults.ts";

const bare = (arm: ArmDescription): ArmDescription => ({ ...arm, tool: { ...arm.tool, centre: [0, 0, 15e-3] } });

/** Far from everything: a bar that nothing comes near. */
const farBar: Body = {
  name: "far bar",
  placement: { at: [0, 0.5, 0], rotation: identity.rotation },
  touch: { kind: "never", standOff: 0 },
  shape: { kind: "cylinder", radius: 0.01, length: 0.1 },
};

describe("a broken cable of an arm of one section, bent in one plane", () => {
  const arm = bare(twinArm({ sections: 1, spans: 12, cables: 4, tool: 0.02 }));
  const insertion = insertionAlong(arm, bentRoute(0.02, 0.25, 0), [0, 0, -9.81], [0]);
  const count = insertion.curve.arc.findIndex((s) => s > 0.13);
  const model = { ...insertion, curve: { ...insertion.curve, count }, depths: insertion.depths.filter((d) => d < 0.13) };
  const space = spaceOf(farBar);
  const faults = faultsOf(model, space);

  test("comes to the shape that the tensions of the others and gravity alone give", () => {
    const state = createFaultsState(faults, []);
    const work = createFaultsWork(faults, space);
    while (!state.done) stepFaults(faults, state, work);
    const { planned } = state;
    const last = planned.length - 1;
    for (const cable of [0, 1, 2, 3]) {
      const walk = startWalk(planned, "hold", last, false);
      while (walk.stage === "event") stepWalk(faults, planned, { kind: "broken", cable }, walk, work);
      expect(walk.shapes.length).toBe(1);
      expect(walk.rod.tension[cable]).toBe(0);
      // the other way: tensions given, from the planned strains, nothing locked
      const made = model.arm;
      const other = { ...createRodState(made), tension: walk.rod.tension.slice() };
      const base = new Float64Array(12);
      const exit = armLength(model) - walk.depth;
      rollFrame(model.port, planned[last]?.roll as number, -exit, base);
      const rod = createRodWork(made);
      const { status } = solveTensions(made, model.load, { base, exit }, other, rod);
      expect(["stable", "slack"]).toContain(status);
      for (let k = 0; k < 3; k++) {
        const o = 12 * made.spans + 9 + k;
        expect(Math.abs((rod.frame[o] as number) - (walk.kept?.frames[o] as number))).toBeLessThan(1e-7);
      }
    }
  });

  test("the energy that goes free is T^2 L / (2 EA), strand in arm and conduit", () => {
    const { result, state } = runFaults(faults, space, indicesOf(faults, "broken", [0]));
    const way = result.findings[0]?.helping.at(-1);
    const tension = state.planned.at(-1)?.rod.tension[0] as number;
    const { cable, pitch, spans } = arm.sections[0] as ArmDescription["sections"][number];
    const ea = (cable.effectiveModulus * Math.PI * cable.diameter ** 2) / 4;
    expect(way?.event?.lost).toBeCloseTo((tension ** 2 * (spans * pitch + arm.conduitLength)) / (2 * ea), 9);
    // a held arm: the swing is bounded by rest and as much again, damped
    expect(way?.event?.swing).toBeCloseTo(1.9 * (way?.event?.moved as number), 12);
  });
});

describe("an arm that is its own mirror image in the plane of its way", () => {
  // four cables at 45 degrees from that plane
  const plain = bare(twinArm({ sections: 1, spans: 16, cables: 4, tool: 0.02 }));
  const arm = {
    ...plain,
    sections: plain.sections.map((s) => ({ ...s, cableAngles: [45, 135, 225, 315].map((a) => (a * Math.PI) / 180) })),
  };
  const insertion = insertionAlong(arm, bentRoute(0.02, 0.25, 0), [0, 0, -9.81], [0]);
  const count = insertion.curve.arc.findIndex((s) => s > 0.17);
  const model = { ...insertion, curve: { ...insertion.curve, count }, depths: insertion.depths.filter((d) => d < 0.17) };
  const space = spaceOf(farBar);
  const faults = faultsOf(model, space);
  const { result } = runFaults(faults, space, [...indicesOf(faults, "broken"), ...indicesOf(faults, "stalled")]);

  test("fails alike on both sides", () => {
    const of = (kind: string, cable: number) => result.findings.find((one) => one.kind === kind && one.cable === cable) as FaultFinding;
    // it bends in the world's x, z: the arm's own x lies in that plane, or across it
    const inPlane = Math.abs(model.port[0] as number) > 0.5;
    const images = inPlane
      ? ([
          [0, 3],
          [1, 2],
        ] as const)
      : ([
          [0, 1],
          [2, 3],
        ] as const);
    for (const [one, two] of images) {
      for (const kind of ["broken", "stalled"]) {
        const [a, b] = [of(kind, one), of(kind, two)];
        expect(a.helping.length).toBe(b.helping.length);
        a.helping.forEach((way, k) => {
          const image = b.helping[k] as typeof way;
          expect([image.outcome, image.by, image.depth]).toEqual([way.outcome, way.by, way.depth]);
          expect(image.pull).toBeCloseTo(way.pull, 5);
          expect(image.event?.moved).toBeCloseTo(way.event?.moved as number, 6);
        });
      }
    }
  });
});

describe("an arm bent behind a plate that must not be touched", () => {
  // down beside the plate's edge, then along behind it: drawn back as it stands it would lift against it
  const plain = bare(twinArm({ sections: 2, spans: 11, tool: 0.01 }));
  // rods that nothing here breaks: what is held is squeezed into ever fewer joints as it is drawn back
  const arm = {
    ...plain,
    sections: plain.sections.map((one) => ({
      ...one,
      rods: one.rods.map((rod) => ({ ...rod, material: { ...rod.material, allowedStrain: 0.2 } })),
    })),
  };
  const insertion = insertionAlong(arm, bentRoute(0.03, 0.12, 0.02), [0, 0, -9.81], [1e-3]);
  const plate: Body = {
    name: "plate",
    placement: { at: [0.15, 0, -0.129], rotation: identity.rotation },
    touch: { kind: "never", standOff: 0 },
    shape: { kind: "box", size: [0.12, 0.2, 0.01] },
  };
  const space = spaceOf(plate);
  const faults = faultsOf(insertion, space);
  const stalled = indicesOf(faults, "stalled", [0, 1, 2, 3, 4, 5]);
  const { result } = runFaults(faults, space, stalled);

  test("with a drive stalled it is hooked while the others hold, and comes out when some drive's others help", () => {
    const deepest = faults.wayIn.at(-1)?.depth as number;
    const answers = result.findings.map((finding) => stateAt(finding, deepest));
    for (const one of answers) {
      expect(one.holding?.outcome).toBe("stuck");
      expect(one.holding?.stop).toMatchObject({ kind: "touch", body: 0 });
    }
    expect(answers.some((one) => one.state === "helped")).toBe(true);
    // near the port there is nothing to hook
    for (const finding of result.findings) expect(stateAt(finding, 0.02).state).toBe("ok");
    expect(result.findings.every((finding) => reachOf(finding, "holding").depth < deepest)).toBe(true);
  });

  test("told in parts, cancelled after every k-th step and resumed from a copy with a fresh workspace: the same", () => {
    const which = stalled.slice(0, 2);
    const whole = readFaults(faults, [runFaults(faults, space, which).state]);
    const parts = which.map((one) => {
      let state = createFaultsState(faults, [one]);
      let work = createFaultsWork(faults, space);
      for (let k = 1; !state.done; k++) {
        stepFaults(faults, state, work);
        if (k % 37 !== 0) continue;
        state = structuredClone(state);
        work = createFaultsWork(faults, space);
      }
      return state;
    });
    expect(readFaults(faults, parts)).toEqual(whole);
  });
});
