/** The order of visits against every order there is. */
import { expect, test } from "vitest";
import { createRandom } from "../../src/base/index.ts";
import { costOf, costRoute, turningWorth } from "../../src/plan/cost-way.ts";
import { orderVisits, type TourCosts } from "../../src/plan/order-visits.ts";

function* permutations(items: number[]): Generator<number[]> {
  if (items.length === 0) yield [];
  for (const item of items) for (const rest of permutations(items.filter((other) => other !== item))) yield [item, ...rest];
}

function costOfOrder({ enter, leave, between }: TourCosts, order: number[]): number {
  let cost = enter[order[0]!]! + leave[order[order.length - 1]!]!;
  for (let k = 1; k < order.length; k++) cost += between[order[k - 1]!]![order[k]!]!;
  return cost;
}

test("seed 3: 60 tours of 1 to 7 visits, to and fro at different costs, some ways shut: no order costs less", () => {
  const random = createRandom(3);
  for (let round = 0; round < 60; round++) {
    const n = 1 + (round % 7);
    const some = () => Array.from({ length: n }, () => 1 + random());
    const costs: TourCosts = {
      enter: some(),
      leave: some(),
      between: Array.from({ length: n }, () => some().map((c) => (random() < 0.1 ? Number.POSITIVE_INFINITY : c))),
    };
    const found = orderVisits(costs);
    const all = [...permutations(Array.from({ length: n }, (_, k) => k))].map((order) => costOfOrder(costs, order));
    const least = Math.min(...all);
    if (!Number.isFinite(least)) continue;
    expect([...found.order].sort()).toEqual(Array.from({ length: n }, (_, k) => k));
    expect(costOfOrder(costs, found.order)).toBeCloseTo(least, 9);
    expect(found.cost).toBeCloseTo(least, 9);
  }
});

test("of equal orders the one as written; twelve visits on a line in a row are gone through along it", () => {
  const n = 12;
  const flat = { enter: Array(n).fill(1), leave: Array(n).fill(1), between: Array.from({ length: n }, () => Array(n).fill(1)) };
  expect(orderVisits(flat).order[0]).toBeDefined();
  const at = [5, 2, 9, 0, 7, 4, 11, 1, 8, 3, 10, 6];
  const between = at.map((a) => at.map((b) => Math.abs(a - b)));
  const { order, cost } = orderVisits({ enter: at.map((a) => a + 1), leave: at.map((a) => 13 - a), between });
  expect(order.map((k) => at[k])).toEqual([0, 1, 2, 3, 4, 5, 6, 7, 8, 9, 10, 11]);
  expect(cost).toBe(1 + 11 + 2);
});

test("a route of 0.3 m with a quarter turn costs its length and pi / 2 turnings", () => {
  const n = 101;
  const arc = Float64Array.from({ length: n }, (_, k) => (0.3 * k) / (n - 1));
  const curvature = new Float64Array(n).fill(Math.PI / 2 / 0.3);
  const none = new Float64Array(0);
  const way = costRoute({ count: n, arc, curvature, point: none, tangent: none, distance: none, body: new Int32Array(0) });
  expect(costOf(way)).toBeCloseTo(0.3 + (turningWorth * Math.PI) / 2, 9);
});
