import { describe, expect, test } from "vitest";
import { type FeedLimits, joinDepths, timeFeed } from "../../src/drive/index.ts";

const none = Number.POSITIVE_INFINITY;

/** One drive that goes as the feed does. */
function straight(length: number, samples: number, limits: Partial<FeedLimits>) {
  const along = Float64Array.from({ length: samples }, (_, k) => (length * k) / (samples - 1));
  return timeFeed(joinDepths(along, along.slice()), {
    rate: 0.01,
    speed: Float64Array.of(none),
    acceleration: Float64Array.of(none),
    ...limits,
  });
}

describe("time along the way", () => {
  test("no limit: length over rate, at once", () => {
    const law = straight(0.4, 5, {});
    expect(law.time[4]).toBeCloseTo(40, 10);
    expect(law.rate[0]).toBe(0.01);
    expect(law.slowest.drive).toBe(-1);
  });

  test("a trapezoid: L/v + v/a in all, v/a and v^2/2a to get up to speed", () => {
    // 10 mm/s at 20 mm/s2: 0.5 s and 2.5 mm, which is one cell of sixteen a sample of 40 mm
    const law = straight(0.4, 11, { acceleration: Float64Array.of(20e-3) });
    expect(law.time[10]).toBeCloseTo(0.4 / 0.01 + 0.01 / 0.02, 10);
    expect(law.rate[0]).toBe(0);
    expect(law.rate[10]).toBe(0);
    expect(law.speed[0]).toBeCloseTo(0.01, 12);
    expect(law.acceleration[0]).toBeCloseTo(0.02, 10);
    expect(law.time[1]! - 0.25).toBeCloseTo(40e-3 / 0.01, 10);
  });

  test("a triangle where the way is too short for full speed: 2 sqrt(L/a)", () => {
    const law = straight(1e-3, 3, { acceleration: Float64Array.of(20e-3) });
    expect(law.time[2]).toBeCloseTo(2 * Math.sqrt(1e-3 / 20e-3), 10);
  });

  test("a drive that turns 50 rad a metre and may do 0.2 rad/s slows the feed to 4 mm/s", () => {
    const along = Float64Array.of(0, 0.1, 0.2);
    const law = timeFeed(joinDepths(along, Float64Array.of(0, 5, 10)), {
      rate: 0.01,
      speed: Float64Array.of(0.2),
      acceleration: Float64Array.of(none),
    });
    expect(law.time[2]).toBeCloseTo(0.2 / 0.004, 9);
    expect(law.slowest).toMatchObject({ drive: 0, by: "speed" });
    expect(law.slowest.rate).toBeCloseTo(0.004, 12);
    expect(law.driveRate[1]).toBeCloseTo(0.2, 12);
  });

  test("a wavy drive: speeds and accelerations, by differences on a fine clock, stay within their limits; the law is not far from the fastest", () => {
    const samples = 25;
    const along = Float64Array.from({ length: samples }, (_, k) => 0.5 * (k / (samples - 1)));
    const wave = (s: number): number => 3 * Math.sin(14 * s) + 20 * s;
    const position = Float64Array.from([...along].flatMap((s) => [wave(s), s]));
    const limits = { rate: 0.02, speed: Float64Array.of(0.5, none), acceleration: Float64Array.of(0.6, 0.01) };
    const joined = joinDepths(along, position);
    const law = timeFeed(joined, limits);
    // speeds at the samples, times between them: mean acceleration of each piece
    for (const [d, most] of [0.6, 0.01].entries()) {
      for (let k = 1; k < samples; k++) {
        const mean = (law.driveRate[2 * k + d]! - law.driveRate[2 * k - 2 + d]!) / (law.time[k]! - law.time[k - 1]!);
        expect(Math.abs(mean)).toBeLessThanOrEqual(most * 1.0001);
      }
      expect(law.acceleration[d]).toBeLessThanOrEqual(most * 1.05);
    }
    expect(law.speed[0]).toBeLessThanOrEqual(0.5 * (1 + 1e-9));
    // no law is faster than the rate and the drive's speed allow by themselves
    const floor = Array.from({ length: 5000 }, (_, i) => Math.max(1 / 0.02, Math.abs(14 * 3 * Math.cos((14 * 0.5 * i) / 5000) + 20) / 0.5)).reduce((sum, x) => sum + (x * 0.5) / 5000, 0); // biome-ignore format: one sum
    expect(law.time[samples - 1]).toBeGreaterThan(floor * 0.99);
    expect(law.time[samples - 1]).toBeLessThan(floor * 1.5);
  });

  test("between depths nothing overshoots: a drive that stands stays, one that rises never turns back", () => {
    const along = Float64Array.of(0, 1, 2, 3, 4);
    const { slope } = joinDepths(along, Float64Array.of(0, 0, 1, 10, 10));
    expect(slope[0]).toBe(0);
    expect(slope[1]).toBe(0);
    expect(slope[2]).toBeGreaterThan(0);
    expect(slope[3]).toBe(0);
    // Fritsch and Carlson: slopes up to three times the lesser rise keep the cubic monotonous
    expect(slope[2]).toBeLessThanOrEqual(3 * 1);
  });
});
