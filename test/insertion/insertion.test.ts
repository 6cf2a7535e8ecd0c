import { describe, expect, test } from "vitest";
import { createInsertionState, createInsertionWork, solveAt, stepInsertion } from "../../src/insertion/index.ts";
import { copyRodState } from "../../src/rod/index.ts";
import { twinArm } from "../rod/twin.ts";
import { bentRoute, identity, insertionAlong, runInsertion, spaceOf, straightRoute } from "./made-route.ts";

const arm = (() => {
  const made = twinArm({ sections: 5, spans: 10, pretension: 8 });
  return { ...made, tool: { ...made.tool, centre: [0, 0, 15e-3] as const } };
})();

describe("hanging straight down a bore", () => {
  const bore = {
    name: "bore",
    placement: identity,
    touch: { kind: "free" as const },
    shape: {
      kind: "bore" as const,
      points: [
        { at: [0, 0, 0.1] as const, radius: 0.02, bend: 0 },
        { at: [0, 0, -1] as const, radius: 0.02, bend: 0 },
      ],
    },
  };
  const model = insertionAlong(arm, straightRoute(0.4), [0, 0, -9.81], [0]);
  const state = runInsertion(model, spaceOf(bore));
  test("every depth is solved, in and out, and balanced", () => {
    expect(state.failure).toBe("");
    expect(state.wayOut.length).toBe(state.wayIn.length);
    for (const record of [...state.wayIn, ...state.wayOut]) {
      expect(record.status).toBe("stable");
      // moments here are of the order of 0.1 N m
      expect(record.residual).toBeLessThan(1e-8);
    }
  });
  test("clearance is bore less body, by geometry: 20 - 8 mm, less what the bound gives away (0.2 mm)", () => {
    const last = state.wayIn[state.wayIn.length - 1]!;
    for (let i = last.firstFree + 1; i < model.arm.spans; i++) {
      expect(last.clearance[i]!).toBeLessThanOrEqual(0.012 + 1e-9);
      expect(last.clearance[i]!).toBeGreaterThan(0.012 - 0.25e-3);
    }
  });
  test("cables carry the pretension and the weight turns no joint", () => {
    const last = state.wayIn[state.wayIn.length - 1]!;
    expect(Math.max(...last.jointAngle)).toBeLessThan(1e-3);
    expect(last.deviation[1]).toBeLessThan(0.1e-3);
  });
});

test("play is taken off where it moves the arm, vertebra by vertebra, and changes no shape", () => {
  const bore = {
    name: "bore",
    placement: identity,
    touch: { kind: "free" as const },
    shape: { kind: "box" as const, size: [0.2, 0.2, 2] as const },
  };
  const none = { nominal: 0, low: 0, high: 0 };
  // the most of a range counts
  const play = { bend: { nominal: 1e-3, low: 0, high: 2e-3 }, twist: none, hole: none };
  const loose = { ...arm, sections: arm.sections.map((section) => ({ ...section, play })) };
  const route = straightRoute(0.15);
  const [tight, slack] = [arm, loose].map((description) => {
    const model = insertionAlong(description, route, [0, 0, -9.81], [0]);
    return runInsertion(description === arm ? model : { ...model, seat: { shift: 1e-3, tilt: 0 } }, spaceOf(bore));
  });
  const [a, b] = [tight!.wayIn.at(-1)!, slack!.wayIn.at(-1)!];
  expect(b.frames).toEqual(a.frames);
  expect(a.loose).toBeUndefined();
  for (let i = b.firstFree + 1; i < a.clearance.length; i++) {
    // some joints of 2 mrad with all beyond them as lever, and the port's millimetre
    const joints = Array.from({ length: i - b.firstFree }, (_, k) => 2e-3 * (10e-3 * (k + 1) - 3.75e-3 + Math.hypot(8e-3, 3.75e-3)));
    const taken = a.clearance[i]! - b.clearance[i]!;
    if (i < a.clearance.length - 1) expect(taken).toBeCloseTo(1e-3 + joints.reduce((x, y) => x + y, 0), 6);
    expect(taken).toBeCloseTo(b.loose!.hull[i]!, 12);
  }
});

test("a base that gives, from where only the tool is out: every shape balanced by the second computation", () => {
  const soft = { ...arm, base: { compliance: [1e-3, 1e-3, 1e-3, 1e-5, 1e-5, 1e-5] } };
  const model = insertionAlong(soft, bentRoute(0.06, 0.15, 0));
  const state = runInsertion(model, spaceOf());
  expect(state.failure).toBe("");
  expect(state.wayIn[0]!.firstFree).toBe(model.arm.spans);
  for (const record of [...state.wayIn, ...state.wayOut]) expect(record.residual).toBeLessThan(1e-7);
});

describe("round a bend of 200 mm into the horizontal, 50 g at the tip", () => {
  const model = insertionAlong(arm, bentRoute(0.1, 0.2, 0.05));
  const space = spaceOf();
  const state = runInsertion(model, space);
  test("the arm lies on the route within millimetres at every depth (prototypes of such arms: 0.4 to 1.4 mm rms, at most 2.6 mm)", () => {
    expect(state.failure).toBe("");
    for (const record of state.wayIn) {
      expect(record.deviation[0]).toBeLessThan(2e-3);
      expect(record.deviation[1]).toBeLessThan(4e-3);
    }
    const last = state.wayIn[state.wayIn.length - 1]!;
    const k = model.curve.count - 1;
    for (let r = 0; r < 3; r++) expect(Math.abs(last.tool[r]! - model.curve.point[3 * k + r]!)).toBeLessThan(1e-3);
  });
  test("the same commands backwards give the same shapes: one branch", () => {
    expect(state.branchGap.shape).toBeLessThan(1e-7);
  });
  test("half-way shapes confirm the sideways allowance ten times finer", () => {
    const work = createInsertionWork(model, space);
    for (let j = 1; j < state.wayIn.length; j++) {
      const a = state.wayIn[j - 1]!;
      const b = state.wayIn[j]!;
      const rod = copyRodState(createInsertionState(model).rod);
      for (const share of [0.1, 0.3, 0.7, 0.9]) {
        const bend = a.bend.map((v, k) => v + share * (b.bend[k]! - v));
        const report = solveAt(model, a.depth + share * (b.depth - a.depth), a.roll + share * (b.roll - a.roll), bend, rod, work);
        expect(report.status).toBe("stable");
        const frame = work.rod.frame;
        for (let i = Math.max(b.firstFree, 1) + 1; i < model.arm.spans; i++) {
          // distance from the axes at the two samples, as line pieces
          const off = Math.min(toAxis(a.frames, frame, i), toAxis(b.frames, frame, i));
          expect(off).toBeLessThan(b.sideways + 0.1e-3);
        }
      }
    }
  });
});

function toAxis(line: Float64Array, points: Float64Array, i: number): number {
  let least = Number.POSITIVE_INFINITY;
  for (let k = Math.max(0, i - 2); k < Math.min(line.length / 12 - 1, i + 3); k++) {
    const a = [9, 10, 11].map((r) => line[12 * k + r]!);
    const d = [9, 10, 11].map((r, q) => line[12 * (k + 1) + r]! - a[q]!);
    const p = [9, 10, 11].map((r, q) => points[12 * i + r]! - a[q]!);
    const t = Math.max(0, Math.min(1, p.reduce((s, v, q) => s + v * d[q]!, 0) / d.reduce((s, v) => s + v * v, 0)));
    least = Math.min(least, Math.hypot(...p.map((v, q) => v - t * d[q]!)));
  }
  return least;
}

test("cancelled after every k-th step and resumed from a copy with a fresh workspace: the same bits", () => {
  const model = insertionAlong(twinArm({ sections: 2, spans: 6 }), bentRoute(0.06, 0.15, 0));
  const space = spaceOf();
  const whole = runInsertion(model, space);
  for (const every of [1, 2, 3]) {
    let state = createInsertionState(model);
    let work = createInsertionWork(model, space);
    for (let step = 0; state.stage !== "done"; step++) {
      if (step % every === 0) {
        state = structuredClone(state);
        work = createInsertionWork(model, space);
      }
      stepInsertion(model, space, state, work);
    }
    expect(state).toEqual(whole);
  }
});

test("the world rotated: the same tensions, clearances and sag, the shape rotated with it", () => {
  const small = twinArm({ sections: 2, spans: 6 });
  const plain = insertionAlong(small, bentRoute(0.05, 0.15, 0), [0, 0, -9.81], [0]);
  const wall = {
    name: "wall",
    touch: { kind: "free" as const },
    placement: { ...identity, at: [0.02, 0.055, -0.1] as const },
    shape: { kind: "box" as const, size: [0.3, 0.08, 0.3] as const },
  };
  const before = runInsertion(plain, spaceOf(wall));
  // rotation by 1 rad about (1, 2, 2) / 3
  const [x, y, z, c, s] = [1 / 3, 2 / 3, 2 / 3, Math.cos(1), Math.sin(1)];
  const R = [
    c + x * x * (1 - c),
    x * y * (1 - c) - z * s,
    x * z * (1 - c) + y * s,
    y * x * (1 - c) + z * s,
    c + y * y * (1 - c),
    y * z * (1 - c) - x * s,
    z * x * (1 - c) - y * s,
    z * y * (1 - c) + x * s,
    c + z * z * (1 - c),
  ];
  const turn = (v: ArrayLike<number>, k = 0): [number, number, number] =>
    [0, 1, 2].map((r) => R[3 * r]! * v[k]! + R[3 * r + 1]! * v[k + 1]! + R[3 * r + 2]! * v[k + 2]!) as [number, number, number];
  const turned = (list: Float64Array): Float64Array => {
    const out = new Float64Array(list.length);
    for (let k = 0; k < list.length; k += 3) out.set(turn(list, k), k);
    return out;
  };
  const port = new Float64Array(12);
  for (let col = 0; col < 3; col++)
    turn([plain.port[col]!, plain.port[3 + col]!, plain.port[6 + col]!]).forEach((v, r) => (port[3 * r + col] = v));
  port.set(turn(plain.port, 9), 9);
  const model = {
    ...plain,
    port,
    load: { gravity: turn([0, 0, -9.81]), forces: [] },
    curve: { ...plain.curve, point: turned(plain.curve.point), tangent: turned(plain.curve.tangent) },
    target: { ...plain.target, place: turn(plain.target.place), direction: turn(plain.target.direction) },
  };
  const after = runInsertion(model, spaceOf({ ...wall, placement: { at: turn(wall.placement.at), rotation: R } }));
  expect(after.wayIn.length).toBe(before.wayIn.length);
  before.wayIn.forEach((a, k) => {
    const b = after.wayIn[k]!;
    a.tension.forEach((t, cable) => expect(Math.abs(b.tension[cable]! - t)).toBeLessThan(1e-6));
    expect(Math.abs(b.sag - a.sag)).toBeLessThan(1e-8);
    expect(Math.abs(b.spare - a.spare)).toBeLessThan(1e-8);
    turn(a.tool).forEach((v, r) => expect(Math.abs(b.tool[r]! - v)).toBeLessThan(1e-8));
  });
});

test("a long tool on coarse steps: its point stays within the sideways allowance, twenty times finer", () => {
  const made = twinArm({ sections: 3, spans: 4, pretension: 8 });
  const coarse = {
    ...made,
    sections: made.sections.map((s) => ({ ...s, pitch: 30e-3, flexible: 10e-3, effectiveLength: 10e-3, jointLimit: 0.5 })),
    tool: { ...made.tool, centre: [0, 0, 0.02] as const, length: 0.15, diameter: 4e-3 },
  };
  const model = insertionAlong(coarse, bentRoute(0.17, 0.2, 0));
  const space = spaceOf();
  const state = runInsertion(model, space);
  expect(state.failure).toBe("");
  const work = createInsertionWork(model, space);
  const line = (frames: Float64Array): number[][] => {
    const n = frames.length / 12;
    const points = Array.from({ length: n }, (_, i) => [9, 10, 11].map((r) => frames[12 * i + r]!));
    const f = 12 * (n - 1);
    points.push([0, 1, 2].map((r) => frames[f + 9 + r]! + 0.15 * frames[f + 3 * r + 2]!));
    return points;
  };
  const toLine = (p: number[], points: number[][]): number => {
    let least = Number.POSITIVE_INFINITY;
    for (let k = 0; k + 1 < points.length; k++) {
      const d = points[k + 1]!.map((v, r) => v - points[k]![r]!);
      const e = p.map((v, r) => v - points[k]![r]!);
      const t = Math.max(0, Math.min(1, e.reduce((sum, v, r) => sum + v * d[r]!, 0) / d.reduce((sum, v) => sum + v * v, 0)));
      least = Math.min(least, Math.hypot(...e.map((v, r) => v - t * d[r]!)));
    }
    return least;
  };
  for (let j = 1; j < state.wayIn.length; j++) {
    const [a, b] = [state.wayIn[j - 1]!, state.wayIn[j]!];
    const rod = createInsertionState(model).rod;
    // the bound rests on the two depths and the shape half-way
    const solved = [line(a.frames), line(b.frames)];
    for (const k of [10, ...Array.from({ length: 19 }, (_, q) => q + 1)]) {
      const share = k / 20;
      const bend = a.bend.map((v, c) => v + share * (b.bend[c]! - v));
      expect(solveAt(model, a.depth + share * (b.depth - a.depth), a.roll + share * (b.roll - a.roll), bend, rod, work).status).toBe(
        "stable",
      );
      const tip = line(work.rod.frame).at(-1)!;
      if (solved.length < 3) solved.push(line(work.rod.frame));
      expect(Math.min(...solved.map((axis) => toLine(tip, axis)))).toBeLessThan(b.sideways + 0.1e-3);
    }
  }
});
