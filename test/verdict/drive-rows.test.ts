/** Margins of the drives, from a table whose numbers are set by hand. */
import { describe, expect, test } from "vitest";
import { createArm, type Drives } from "../../src/arm/index.ts";
import { createDriveTable } from "../../src/drive/index.ts";
import type { DepthRecord } from "../../src/insertion/index.ts";
import { judge } from "../../src/verdict/index.ts";
import { twinArm } from "../rod/twin.ts";
import { facts, record } from "./made-facts.ts";

const drives: Drives = {
  spool: { radius: 15e-3, wound: 1 },
  gear: { ratio: 50, efficiency: 0.8 },
  motor: { torque: 0.02, peakTorque: 0.03, speed: 400 },
  turnsIn: 2,
  feed: { force: 4 },
  roll: { torque: 1 },
};

/** @param pull of the fifth cable at the deepest, N @param drawn of the same, m */
function judged(change: Partial<Drives>, pull = 60, drawn = 0.06, feedRate?: number, tug?: readonly number[]) {
  const arm = createArm({ ...twinArm({ sections: 2, spans: 3, pretension: 8 }), drives: { ...drives, ...change } });
  const fifth = (value: number, rest: number) => Float64Array.from({ length: 6 }, (_, c) => (c === 4 ? value : rest));
  const wayIn: DepthRecord[] = [record({ depth: 0.04 }), record({ tension: fifth(pull, 8), drawn: fifth(drawn, -0.03) })];
  const wayOut = [...wayIn].reverse();
  const request = {
    arm,
    gravity: [0, 0, -9.80665] as const,
    axis: [0, 0, 1] as const,
    exit: [0, 0, 0] as const,
    ...(feedRate === undefined ? {} : { feedRate }),
  };
  const table = createDriveTable(request, wayIn, wayOut);
  return judge(facts({ arm, wayIn, wayOut, drives: table, ...(tug === undefined ? {} : { tug }) }));
}

const rowOf = (verdict: ReturnType<typeof judge>, id: string) => verdict.rows.find((row) => row.id === id);

describe("motor torque", () => {
  test("60 N on 15 mm over 50 and 80 %: 22.5 mN m against 30 for a moment, 18 held against 20 for long: the second is worse", () => {
    const row = rowOf(judged({}), "drive-torque")!;
    expect(row.demand).toBeCloseTo(0.018, 12);
    expect(row.limit).toBe(0.02);
    expect(row.use).toBeCloseTo(0.9, 12);
    expect(row.where).toMatchObject({ way: "in", cable: 4, section: 1, depth: 0.072 });
    expect(row.whereSays).toContain("cable 5 (section 2)");
    const quick = rowOf(judged({ motor: { torque: 1, peakTorque: 1.2 } }), "drive-torque")!;
    expect(quick.use).toBeCloseTo(0.0225 / 1.2, 12);
  });

  test("a motor beyond its limit turns the answer, with the row named", () => {
    const good = judged({});
    expect(good.answer).toBe("go with conditions");
    const bad = judged({ motor: { torque: 0.017 } });
    expect(bad.answer).toBe("no go");
    expect(bad.says).toContain("Motor torque");
    expect(bad.reasons.join(" ")).toContain("22.5 mN m against a limit of 17 mN m");
    expect(rowOf(bad, "drive-torque")!.state).toBe("over");
  });
});

test("travel: 60 mm on 15 mm are 0.637 turns of 2, 30 mm paid out 0.318 turns of the 1 that is wound", () => {
  const row = rowOf(judged({}), "drive-travel")!;
  // the greater use: 0.318 of 1
  expect(row.use).toBeCloseTo(0.06 / (2 * Math.PI * 15e-3) / 2, 9);
  const short = rowOf(judged({ turnsOut: 0.3 }), "drive-travel")!;
  expect(short.use).toBeCloseTo(0.03 / (2 * Math.PI * 15e-3) / 0.3, 9);
  expect(short.state).toBe("over");
  expect(short.whereSays).toContain("paid out");
});

describe("motor speed", () => {
  test("fast enough: its share", () => {
    // 60 mm of cable over 32 mm of feed at 2 mm/s: 3.75 mm/s, 0.25 rad/s, 12.5 of the motor
    const row = rowOf(judged({}, 60, 0.06, 2e-3), "drive-speed")!;
    expect(row.demand).toBeCloseTo(12.5, 9);
    expect(row.state).toBe("ok");
    expect(row.note).toContain("takes 16 s");
  });

  test("too slow: the feed slows, the row is close and never over, and says how long it takes", () => {
    const verdict = judged({ motor: { speed: 6.25 } }, 60, 0.06, 2e-3);
    const row = rowOf(verdict, "drive-speed")!;
    expect(row.state).toBe("warning");
    expect(row.use).toBeCloseTo(1, 12);
    expect(row.note).toContain("takes 32 s (16 s if no drive held it up)");
    expect(verdict.answer).toBe("go with conditions");
    expect(verdict.conditions.join(" ")).toContain("slows from 2 mm/s to 1 mm/s");
  });
});

test("feed: the arm's weight, upright", () => {
  const row = rowOf(judged({}), "feed-force")!;
  const { arm } = facts();
  const mass = arm.mass.reduce((sum, x) => sum + x, 0) + 0.05;
  expect(row.demand).toBeCloseTo(mass * 9.80665, 9);
  expect(row.where.cable).toBeUndefined();
});

test("what the arm does not tell is no row and is named", () => {
  const none = judge(facts());
  expect(none.rows.some((row) => row.id.startsWith("drive-"))).toBe(false);
  expect(none.notChecked.join("; ")).toContain("drive torque, speed and travel (the arm says nothing of its drives)");
  const some = judged({ motor: {}, feed: {}, roll: {} });
  expect(some.rows.map((row) => row.id).filter((id) => /drive|feed|roll/.test(id))).toEqual(["drive-travel"]);
  expect(some.notChecked.join("; ")).toContain("motor torque (the arm gives no limit); motor speed (the arm gives no limit); feed force");
  expect(judged({}).notChecked.join("; ")).toContain("motor speed (the job gives no feed-rate)");
});

test("how long cables last is a condition that calls itself an estimate", () => {
  expect(judged({}).conditions.join(" ")).toMatch(/wears out cable 5 \(section 2\) first: an estimate of \d+ entries, \d+ to \d+/);
});

describe("lost motion: the tool goes 20 m a metre of the fifth cable, 10 of each other", () => {
  const tug = [10, 10, 10, 10, 20, 10];
  const motor = { torque: 0.02, counts: 100 };
  // half of one count in 100 x 50 a turn on 15 mm
  const half = (15e-3 * Math.PI) / 5000;

  test("half a count of each motor, all one way; the pull keeps good gears on one flank", () => {
    const row = rowOf(judged({ motor, gear: { ratio: 50, efficiency: 0.8, backlash: 0.01 } }, 60, 0.06, undefined, tug), "lost-motion")!;
    expect(row.demand).toBeCloseTo(70 * half, 12);
    expect(row.limit).toBe(5e-3);
    expect(row.whereSays).toContain("cable 5 (section 2)");
    expect(row.note).toContain("on one flank");
  });

  test("a gear that the cable cannot drive loses its backlash where the cable turned about, and only there", () => {
    const arm = createArm({
      ...twinArm({ sections: 2, spans: 3, pretension: 8 }),
      drives: { ...drives, motor, gear: { ratio: 50, efficiency: 0.4, backlash: 0.01 } },
    });
    // the first cable goes in, out and in again; the others only in
    const at = (depth: number, first: number, rest: number): DepthRecord =>
      record({ depth, drawn: Float64Array.from({ length: 6 }, (_, c) => (c === 0 ? first : rest)) });
    const wayIn = [at(0.02, 0, 0), at(0.04, 0.03, 0.01), at(0.06, 0.01, 0.02), at(0.072, 0.04, 0.03)];
    const table = createDriveTable({ arm, gravity: [0, 0, 0], axis: [0, 0, 1], exit: [0, 0, 0] }, wayIn, []);
    const row = rowOf(judge(facts({ arm, wayIn, drives: table, tug })), "lost-motion")!;
    expect(row.demand).toBeCloseTo(70 * half + 10 * 15e-3 * 0.01, 12);
    expect(row.note).toContain("turned about on the way in");
  });
});
