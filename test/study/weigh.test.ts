/** Quantiles, Wilson's interval and weights of drawn numbers against closed forms; test/published/draws.test.ts has published numbers. */
import { describe, expect, it, test } from "vitest";
import { createRandom } from "../../src/base/index.ts";
import { chanceOf, normalOf, quantileOf, ranksOf, weighOne } from "../../src/study/index.ts";

describe("Wilson's interval", () => {
  it("mirrors, and knows nothing of nothing", () => {
    const [one, other] = [chanceOf(3, 40), chanceOf(37, 40)];
    expect(one.low).toBeCloseTo(1 - other.high, 14);
    expect(chanceOf(40, 40).high).toBe(1);
    expect(chanceOf(0, 0)).toMatchObject({ low: 0, high: 1 });
  });
});

describe("quantiles", () => {
  test("of a short list, by hand: the seventh definition", () => {
    const sorted = [1, 2, 4, 8];
    expect([0, 0.25, 0.5, 0.75, 1].map((share) => quantileOf(sorted, share))).toEqual([1, 1.75, 3, 5, 8]);
    expect(quantileOf([5], 0.95)).toBe(5);
    expect(quantileOf([1, Number.POSITIVE_INFINITY, Number.POSITIVE_INFINITY], 0.9)).toBe(Number.POSITIVE_INFINITY);
  });

  test("of a + b x with x normal: the closed form, within four standard errors (seed 5, 20 000 draws)", () => {
    const normal = normalOf(createRandom(5));
    const n = 20_000;
    const y = Array.from({ length: n }, () => 3 + 2 * normal()).sort((a, b) => a - b);
    // standard normal quantiles and density there
    for (const [share, at, density] of [
      [0.05, -1.6448536, 0.1031356],
      [0.5, 0, 0.3989423],
      [0.95, 1.6448536, 0.1031356],
    ] as const) {
      const error = (2 * Math.sqrt(share * (1 - share))) / (density * Math.sqrt(n));
      expect(Math.abs(quantileOf(y, share) - (3 + 2 * at))).toBeLessThan(4 * error);
    }
    // P(y > 6) = 1 - Phi(1.5) = 0.0668072
    const chance = chanceOf(y.filter((value) => value > 6).length, n);
    expect(chance.low).toBeLessThan(0.0668072);
    expect(chance.high).toBeGreaterThan(0.0668072);
  });
});

describe("weights", () => {
  test("what rises and falls as often has a share and no trend; what is of no matter stays below chance (seed 11, 2 000 draws)", () => {
    const random = createRandom(11);
    const [x, other] = [0, 1].map(() => Array.from({ length: 2000 }, () => 2 * random() - 1)) as [number[], number[]];
    const y = x.map((v) => v * v);
    const even = weighOne(x, y);
    // all of it; sixteen slices keep some 98 %
    expect(even.share).toBeGreaterThan(0.95);
    expect(Math.abs(even.trend)).toBeLessThan(0.1);
    const none = weighOne(other, y);
    expect(none.share).toBeLessThan(none.noise);
  });

  test("a linear sum of normal numbers: shares as the squares of its factors (seed 3, 200 draws)", () => {
    const normal = normalOf(createRandom(3));
    const n = 200;
    const x = [0, 1, 2].map(() => Array.from({ length: n }, normal));
    const y = Array.from({ length: n }, (_, k) => 3 * (x[0]?.[k] as number) - 1 * (x[1]?.[k] as number));
    const [a, b, c] = x.map((values) => weighOne(values, y));
    // 9 in 10 and 1 in 10; seven slices keep some 94 % of a straight line's variance
    expect(Math.abs((a?.share as number) - 0.9)).toBeLessThan(0.12);
    expect(Math.abs((b?.share as number) - 0.1)).toBeLessThan(0.12);
    expect(c?.share).toBeLessThan(0.06);
    expect(Math.sign(a?.trend as number)).toBe(1);
    expect(Math.sign(b?.trend as number)).toBe(-1);
  });

  test("numbers of no matter stand out by chance in about one of twenty cases (seed 8)", () => {
    const random = createRandom(8);
    const cases = 400;
    let out = 0;
    for (let k = 0; k < cases; k++) {
      const [x, y] = [0, 1].map(() => Array.from({ length: 100 }, random)) as [number[], number[]];
      const { share, noise } = weighOne(x, y);
      if (share > noise) out++;
    }
    // 20 expected, a standard error of 4.4; the beta law is a little wider at the end than its normal stand-in
    expect(out).toBeGreaterThan(5);
    expect(out).toBeLessThan(42);
  });

  test("what differs by rounding alone, or is of too few draws, has none; equal values share a rank", () => {
    const x = Array.from({ length: 50 }, (_, k) => k);
    expect(
      weighOne(
        x,
        x.map((k) => 1 + 1e-15 * (k % 2)),
      ).share,
    ).toBe(0);
    expect(weighOne([1, 2], [1, 2])).toEqual({ share: 0, noise: 1, trend: 0 });
    expect([...ranksOf([3, 1, 3, Number.POSITIVE_INFINITY])]).toEqual([1.5, 0, 1.5, 3]);
  });
});
