/** A straight arm of two sections of three cables whose lengths and tensions are set by hand: every number can be worked out on paper. */
import { describe, expect, test } from "vitest";
import { createArm, type Drives } from "../../src/arm/index.ts";
import { countPasses, createDriveTable, type DriveRequest } from "../../src/drive/index.ts";
import type { DepthRecord } from "../../src/insertion/index.ts";
import { twinArm } from "../rod/twin.ts";
import { record } from "../verdict/made-facts.ts";

const drives: Drives = {
  spool: { radius: 15e-3, wound: 2 },
  gear: { ratio: 50, efficiency: 0.8 },
  motor: { counts: 4096, torque: 0.02, peakTorque: 0.05, speed: 400 },
};

function request(change: Partial<Drives> = {}, feedRate?: number): DriveRequest {
  const arm = createArm({ ...twinArm({ sections: 2, spans: 3, pretension: 8 }), drives: { ...drives, ...change } });
  return { arm, gravity: [0, 0, -9.80665], axis: [0, 0, 1], exit: [0, 0, 0], ...(feedRate === undefined ? {} : { feedRate }) };
}

/** All cables drawn by `drawn` and pulled by `tension` at the drive, the first twice as much. */
function at(depth: number, drawn: number, tension = 40): DepthRecord {
  const first = (value: number) => new Float64Array(6).fill(value).map((x, c) => (c === 0 ? 2 * x : x));
  return record({ depth, drawn: first(drawn), tension: first(tension) });
}

const circle = 2 * Math.PI * 15e-3;

describe("by depth", () => {
  const { rows, ways } = createDriveTable(request(), [at(0, 0), at(0.05, 0.5 * circle)], []);

  test("turns, counts and what rounding makes of the length", () => {
    expect(rows[1]!.turns[0]).toBeCloseTo(1, 12);
    expect(rows[1]!.turns[1]).toBeCloseTo(0.5, 12);
    // 4096 x 50 counts a turn
    expect(rows[1]!.counts[0]).toBe(204800);
    const odd = createDriveTable(request(), [at(0, 1.2345678e-3)], []).rows[0]!;
    const counts = (1.2345678e-3 / circle) * 204800;
    expect(odd.counts[1]).toBe(Math.round(counts));
    expect(odd.error[1]).toBeCloseTo(((Math.round(counts) - counts) / 204800) * circle, 15);
    // half a count is all that rounding costs
    expect(Math.abs(odd.error[1]!)).toBeLessThanOrEqual((0.5 / 204800) * circle);
  });

  test("torque: 40 N on 15 mm is 0.6 N m, 15 mN m of the motor at 50 to 1 with 80 %", () => {
    expect(rows[0]!.torque[1]).toBeCloseTo(0.6, 12);
    expect(rows[0]!.motorTorque[1]).toBeCloseTo(0.015, 12);
    expect(rows[0]!.motorMost[0]).toBeCloseTo(0.03, 12);
  });

  test("stretch: strand over arm and conduit, by hand", () => {
    const { arm } = request();
    // cables of section 1 end after 30 mm, of section 2 after 60 mm; conduits of 1 m
    const ea = 73e9 * Math.PI * 0.3e-3 ** 2;
    expect(arm.cableEA[0]).toBeCloseTo(ea, 6);
    expect(rows[0]!.stretch[0]).toBeCloseTo((80 * 1.03) / ea, 14);
    expect(rows[0]!.stretch[5]).toBeCloseTo((40 * 1.06) / ea, 14);
  });

  test("a drive and a conduit that give count at the tension that is there: at the drive, and between (friction falls by e^-x along the conduit)", () => {
    const { arm, ...rest } = request();
    const soft = createArm({ ...arm.description, conduitStiffness: 2e4, driveStiffness: 5e4 });
    const one = record({ tension: new Float64Array(6).fill(40), drawn: new Float64Array(6) });
    const none = new Float64Array(6);
    const rub = { hull: none, joint: none, tip: 0, aim: 0, fullTip: 0, fullAim: 0, drive: new Float64Array(6).fill(50), most: new Float64Array(6).fill(60), least: none }; // biome-ignore format: one list
    const row = createDriveTable({ arm: soft, ...rest }, [{ ...one, rub }], []).rows[0]!;
    const ea = soft.cableEA[0]!;
    // mean of 50 e^(-x s) over s, x = ln(50/40), by a fine sum
    const x = Math.log(50 / 40);
    const mean = Array.from({ length: 1e5 }, (_, i) => 50 * Math.exp((-x * (i + 0.5)) / 1e5)).reduce((sum, value) => sum + value / 1e5, 0);
    expect(row.stretch[0]).toBeCloseTo((40 * 0.03) / ea + mean * (1 / ea + 1 / 2e4) + 50 / 5e4, 9);
    expect(row.motorMost[0]).toBeCloseTo((60 * 15e-3) / 50 / 0.8, 12);
  });

  test("nothing is timed without a feed rate", () => {
    expect(rows[1]!.time).toBeNaN();
    expect(rows[1]!.power[0]).toBeNaN();
    expect(ways[0]!.time).toBeNaN();
  });

  test("weight along the axis: a vertical arm hangs on the feed by all of its mass, and turns nothing", () => {
    const { arm } = request();
    const mass = arm.mass.reduce((sum, x) => sum + x, 0) + arm.description.tool.mass;
    // gravity points against the axis: the feed pushes up by the weight
    expect(rows[0]!.feedForce).toBeCloseTo(mass * 9.80665, 12);
    expect(rows[0]!.rollTorque).toBeCloseTo(0, 12);
    const lying = createDriveTable({ ...request(), gravity: [9.80665, 0, 0] }, [at(0, 0)], []).rows[0]!;
    expect(lying.feedForce).toBeCloseTo(0, 12);
    // the tool's centre lies 1 mm towards -y of the axis: 0.05 kg x g x 1 mm turns about +z, the drive holds against it
    expect(lying.rollTorque).toBeCloseTo(-0.05 * 9.80665 * 1e-3, 12);
  });
});

describe("by time", () => {
  test("power is force times speed, and its sum over time is the work", () => {
    const wayIn = Array.from({ length: 41 }, (_, k) => at(0.002 * k, 0.004 * k, 40));
    const { rows, ways } = createDriveTable(request({ acceleration: 5e-3 }, 4e-3), wayIn, []);
    const middle = rows[20]!;
    // drawn in 2 m a metre of feed (the first cable 4): 8 and 16 mm/s
    expect(middle.speed[1]).toBeCloseTo(8e-3, 9);
    expect(middle.turnRate[1]).toBeCloseTo(8e-3 / 15e-3, 9);
    expect(middle.power[1]).toBeCloseTo((40 * 8e-3) / 0.8, 9);
    expect(middle.power[0]).toBeCloseTo((80 * 16e-3) / 0.8, 9);
    // 5 cables of 40 N over 160 mm, one of 80 N over 320 mm
    expect(ways[0]!.work).toBeCloseTo(5 * 40 * 0.16 + 80 * 0.32, 9);
    expect(ways[0]!.motorWork).toBeCloseTo((5 * 40 * 0.16 + 80 * 0.32) / 0.8, 9);
    let sum = 0;
    for (let k = 1; k < rows.length; k++) {
      const power = (row: (typeof rows)[number]) => row.power.reduce((all, x) => all + x, 0);
      sum += ((power(rows[k - 1]!) + power(rows[k]!)) / 2) * (rows[k]!.time - rows[k - 1]!.time);
    }
    // trapezoids over a start and a stop from rest
    expect(Math.abs(sum / ways[0]!.motorWork - 1)).toBeLessThan(0.02);
    // the first cable: 4 m/m at 5 mm/s2 lets the feed speed up by 1.25 mm/s2
    expect(ways[0]!.time).toBeCloseTo(0.08 / 4e-3 + 4e-3 / 1.25e-3, 2);
  });

  test("a closed cycle under constant tension gives all work back at the spool; the gears keep 2 W (1/0.8 - 1) of it", () => {
    const wayIn = [at(0, 0), at(0.05, 0.1)];
    const { ways } = createDriveTable(request({}, 4e-3), wayIn, [...wayIn].reverse());
    const work = 5 * 40 * 0.1 + 80 * 0.2;
    expect(ways[0]!.work + ways[1]!.work).toBeCloseTo(0, 12);
    expect(ways[0]!.motorWork + ways[1]!.motorWork).toBeCloseTo(work * 2 * (1 / 0.8 - 1), 9);
  });

  test("a motor that is too slow slows the feed, and is named", () => {
    // 400 rad/s over 50 on 15 mm: 120 mm/s of cable; 8 m of the first cable a metre of feed asks for 160 mm/s at 20 mm/s
    const wayIn = Array.from({ length: 5 }, (_, k) => at(0.01 * k, 0.04 * k));
    const { ways, rows } = createDriveTable(request({}, 20e-3), wayIn, []);
    expect(ways[0]!.time).toBeCloseTo(0.04 / 15e-3, 9);
    expect(ways[0]!.timeAsked).toBeCloseTo(2, 12);
    expect(ways[0]!.brake).toMatchObject({ drive: "cable", cable: 0, by: "speed" });
    expect(ways[0]!.brake!.rate).toBeCloseTo(15e-3, 12);
    expect(rows[2]!.turnRate[0]).toBeCloseTo(8, 9);
    expect(ways[0]!.turnRateAsked[0]).toBeCloseTo(8 / 0.75, 9);
  });
});

test("runs of a cable: in, out, in again, small jitters not counted", () => {
  const rows = (lengths: number[]) => lengths.map((x) => ({ length: Float64Array.of(x) })) as never;
  expect(countPasses(rows([0, 1, 2, 3]), 0)).toBe(1);
  expect(countPasses(rows([0, 1, 2, 1.999, 3, 0]), 0)).toBe(2);
  expect(countPasses(rows([0, 2, 1, 3, 0]), 0)).toBe(4);
  expect(countPasses(rows([3, 2, 0, 1]), 0)).toBe(2);
  expect(countPasses(rows([1, 1, 1]), 0)).toBe(0);
});

test("lives: twice the spool's radius over the cable, bends by its runs, a factor of three either way", () => {
  const { lives } = createDriveTable(request(), [at(0, 0), at(0.05, 0.1)], [at(0.05, 0.1), at(0, 0)]);
  expect(lives.length).toBe(6);
  expect(lives[0]).toMatchObject({ at: "spool", bends: 1, tension: 80 });
  expect(lives[0]!.ratio).toBeCloseTo(30 / 0.6, 9);
  expect(lives[0]!.most / lives[0]!.least).toBeCloseTo(9, 9);
  const guided = createDriveTable(request({ guideDiameter: 9e-3 }), [at(0, 0), at(0.05, 0.1)], [at(0.05, 0.1), at(0, 0)]).lives;
  expect(guided[1]).toMatchObject({ at: "guide", bends: 2 });
  expect(guided[1]!.ratio).toBeCloseTo(15, 9);
  expect(guided[1]!.entries).toBeLessThan(lives[1]!.entries);
});
