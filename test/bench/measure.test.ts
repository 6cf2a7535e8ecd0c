import { describe, expect, test } from "vitest";
import { measure, sayComparison, spreadOf } from "../../bench/measure.ts";

/** A clock that only the contenders move. */
function createClock() {
  let at = 0;
  return { now: () => at, spend: (ms: number) => void (at += ms) };
}

const apart = (a: number, b: number): number => Math.abs(a - b);

describe("measuring two contenders", () => {
  test("alternates, turns the order round, leaves the warm-up out, and gives medians and the ratio", () => {
    const clock = createClock();
    const order: string[] = [];
    let cold = 2;
    const contender = (name: string, cost: () => number) => ({
      name,
      run: () => {
        order.push(name);
        clock.spend(cost());
        return 7;
      },
    });
    const first = contender("own", () => (cold-- > 0 ? 50 : 2));
    const second = contender("theirs", () => 6);
    const found = measure(first, second, { apart, within: 0, rounds: 4, warmUps: 2, now: clock.now });
    expect(order.length).toBe(2 * (4 + 2));
    expect(order.slice(-8)).toEqual(["own", "theirs", "theirs", "own", "own", "theirs", "theirs", "own"]);
    expect([found.first.median, found.second.median, found.ratio.median, found.apart]).toEqual([2, 6, 3, 0]);
    expect(found.first.greatest).toBe(2);
    expect(sayComparison("one thing", "own", "theirs", found)).toContain("theirs / own: 3 (3 to 3 in half of the rounds)");
  });

  test("refuses to compare work that gives different answers", () => {
    const { now } = createClock();
    const one = (value: number) => ({ name: String(value), run: () => value });
    expect(() => measure(one(1), one(1.1), { apart, within: 0.05, now })).toThrow("answer differently");
    expect(() => measure(one(1), one(Number.NaN), { apart, within: 1, now })).toThrow("answer differently");
    expect(measure(one(1), one(1.01), { apart, within: 0.05, now }).apart).toBeCloseTo(0.01, 12);
  });

  test("median and quarters of known values", () => {
    expect(spreadOf([4, 1, 3, 2])).toEqual({ median: 2.5, least: 1, greatest: 4, lowQuarter: 1.75, highQuarter: 3.25 });
    expect(spreadOf([5]).median).toBe(5);
  });
});
