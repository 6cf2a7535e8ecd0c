import { describe, expect, test } from "vitest";
import { type Entry, measureOutside, measureRoom, type Outside, type PushRequest, pushIn, type Thing } from "../../src/outside/index.ts";
import { type Body, createSpace } from "../../src/space/index.ts";
import { judge } from "../../src/verdict/index.ts";
import { identity } from "../insertion/made-route.ts";
import { arm, facts, record } from "../verdict/made-facts.ts";

const entry: Entry = { at: [0, 0, 0], out: [0, 0, -1], across: [1, 0, 0], up: [0, 1, 0] };
const pack: Thing = { name: "pack", size: [0.2, 0.3, 0.4], behind: 0.1, aside: [0, 0], moves: true };
const outside: Outside = {
  stroke: 0.06,
  regrip: false,
  gap: 0.02,
  carriageHolds: "hinged",
  guideHolds: "hinged",
  bucklingFactor: 2,
  guideFriction: 0.3,
  clearance: 0.01,
  things: [pack],
};

function post(at: readonly [number, number, number]): Body {
  return { name: "post", shape: { kind: "sphere", radius: 0.05 }, placement: { ...identity, at }, touch: { kind: "free" } };
}

describe("room for what stands outside", () => {
  const distance = (body: Body, things: readonly Thing[] = [pack], travel = 0): number =>
    measureRoom(createSpace([body]), entry, { ...outside, things }, travel).distance;

  test("a ball beside, behind and off an edge of the pack (by hand, told to half a millimetre)", () => {
    // the pack: x to 0.1, y to 0.15, outwards from z = -0.1 to -0.5
    expect(Math.abs(distance(post([0.25, 0, -0.3])) - 0.1)).toBeLessThan(0.6e-3);
    expect(Math.abs(distance(post([0, 0, -0.7])) - 0.15)).toBeLessThan(0.6e-3);
    // 3-4-5 off the edge x = 0.1, y = 0.15: (0.13, 0.19)
    expect(Math.abs(distance(post([0.1 + 0.09, 0.15 + 0.12, -0.3])) - 0.1)).toBeLessThan(0.6e-3);
  });

  test("a carriage that goes back by 120 mm comes that much nearer; one inside the pack is run into", () => {
    expect(Math.abs(distance(post([0, 0, -0.7]), [pack], 0.12) - 0.03)).toBeLessThan(0.6e-3);
    expect(distance(post([0, 0, -0.7]), [pack], 0.2)).toBe(0);
    expect(distance(post([0, 0, -0.3]))).toBe(0);
  });

  test("two things of one place run into each other; what goes along does not come nearer", () => {
    const hands: Thing = { name: "hands", size: [0.2, 0.2, 0.1], behind: 0, aside: [0, 0], moves: false };
    const far = post([9, 9, 9]);
    expect(distance(far, [pack, hands])).toBeGreaterThan(1);
    expect(distance(far, [pack, { ...hands, behind: 0.05 }])).toBe(0);
    const behind: Thing = { ...hands, behind: 0.5 };
    expect(distance(far, [pack, { ...behind, moves: true }], 0.1)).toBeGreaterThan(1);
    expect(distance(far, [pack, behind], 0.1)).toBe(0);
  });
});

describe("the push in", () => {
  const request: PushRequest = {
    arm,
    gravity: [0, 0, 0],
    exit: [0, 0, 0],
    axis: [0, 0, 1],
    wallFriction: 0,
    guideFriction: 0.2,
    guideLength: 0.1,
    tubeTurn: 0,
  };
  const out = record();
  const masses =
    Array.from(arm.mass)
      .slice(out.firstFree)
      .reduce((sum, m) => sum + m, 0) + arm.description.tool.mass;

  test("straight up: all of its weight; straight down: it pulls itself in, and nothing is pushed", () => {
    expect(pushIn({ ...request, gravity: [0, 0, -10], guideFriction: 0 }, out).total).toBeCloseTo(10 * masses, 12);
    expect(pushIn({ ...request, gravity: [0, 0, 10], guideFriction: 0 }, out).total).toBe(0);
  });

  test("level: the guide carries W and W l as a bar in two bearings, 0.2 (W + 2 W l / 100 mm)", () => {
    const push = pushIn({ ...request, gravity: [0, -10, 0] }, out);
    const { tool } = arm.description;
    let moment = tool.mass * ((out.frames[12 * arm.spans + 11] as number) + tool.centre[2]);
    for (let i = out.firstFree; i <= arm.spans; i++) moment += (arm.mass[i] as number) * (out.frames[12 * i + 11] as number);
    expect(push.weight).toBeCloseTo(0, 12);
    // its tool's middle is 2 mm aside: that wrings it about its axis, which the guide's length does not carry
    expect(push.guide).toBeCloseTo(0.2 * 10 * (masses + (2 * moment) / 0.1), 12);
  });

  test("a tube of a quarter turn raises it by exp(mu pi / 2)", () => {
    const up = { ...request, gravity: [0, 0, -10] as const };
    const straight = pushIn(up, out).total;
    expect(pushIn({ ...up, tubeTurn: Math.PI / 2 }, out).total / straight).toBeCloseTo(Math.exp(0.2 * (Math.PI / 2)), 12);
  });
});

describe("the rows", () => {
  const space = createSpace([post([0.25, 0, -0.3])]);
  const request: PushRequest = {
    arm,
    gravity: [0, 0, -9.8],
    exit: [0, 0, 0],
    axis: [0, 0, 1],
    wallFriction: 0,
    guideFriction: 0.2,
    guideLength: 0.06,
    tubeTurn: 0,
  };
  const rowsOf = (change: Partial<Outside>) =>
    judge(facts({ outside: measureOutside({ ...outside, ...change }, arm, space, entry, request, [record()]) }));

  test("72 mm of feed on a stroke of 60 mm: over; with a second grip 36 of 60", () => {
    const short = rowsOf({}).rows.find(({ id }) => id === "outside-stroke");
    expect(short?.use).toBeCloseTo(72 / 60, 12);
    const again = rowsOf({ regrip: true });
    const row = again.rows.find(({ id }) => id === "outside-stroke");
    expect(row?.use).toBeCloseTo(36 / 60, 12);
    expect(row?.whereSays).toContain("2 strokes");
    expect(again.conditions.some((text) => text.includes("gripped anew once"))).toBe(true);
  });

  test("room is asked against the clearance, a push against Euler's load over the reserve", () => {
    const { rows } = rowsOf({});
    const room = rows.find(({ id }) => id === "outside-room");
    expect(room?.use).toBeCloseTo(0.01 / (room?.limit as number), 12);
    expect(Math.abs((room?.limit as number) - 0.1)).toBeLessThan(0.6e-3);
    const push = rows.find(({ id }) => id === "outside-buckling");
    expect(push?.use).toBeCloseTo((push?.demand as number) / (push?.limit as number), 12);
    expect(push?.note).toContain("Euler's column");
  });

  test("a job that says nothing of it is told so by name; one that does is not", () => {
    expect(judge(facts()).notChecked.some((text) => text.includes("room outside the port"))).toBe(true);
    expect(rowsOf({}).notChecked.some((text) => text.includes("room outside the port"))).toBe(false);
  });
});
