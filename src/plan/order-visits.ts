/** The order of visits that costs least, found exactly (Held and Karp 1962: all subsets, docs/sources.md#order-of-visits). */

/** What a tour costs. All entries finite and >= 0, or Infinity where there is no such way. */
export interface TourCosts {
  /** [visit] from the port to it, and from it out of the port */
  readonly enter: readonly number[];
  readonly leave: readonly number[];
  /** [visit][visit] from one to the next, whichever way is cheaper; the diagonal is not read */
  readonly between: readonly (readonly number[])[];
}

/** As many as are ordered exactly in a moment: 2^12 subsets. */
export const mostVisits = 12;

/** @returns the visits in the order to make them, of equals the one that keeps to the order written, and what it costs; none where every order is shut */
export function orderVisits({ enter, leave, between }: TourCosts): { order: number[]; cost: number } {
  const n = enter.length;
  const full = (1 << n) - 1;
  // [subset, last] least cost of having made the visits of the subset and standing at its last, and the visit before that
  const cost = new Float64Array((full + 1) * n).fill(Number.POSITIVE_INFINITY);
  const before = new Int8Array((full + 1) * n).fill(-1);
  for (let k = 0; k < n; k++) cost[(1 << k) * n + k] = enter[k] as number;
  for (let set = 1; set <= full; set++) {
    for (let last = 0; last < n; last++) {
      const here = cost[set * n + last] as number;
      if (!Number.isFinite(here)) continue;
      for (let next = 0; next < n; next++) {
        if (set & (1 << next)) continue;
        const at = (set | (1 << next)) * n + next;
        const there = here + ((between[last] as readonly number[])[next] as number);
        if (!(there < (cost[at] as number) - 1e-12)) continue;
        cost[at] = there;
        before[at] = last;
      }
    }
  }
  let last = 0;
  for (let k = 1; k < n; k++) if ((cost[full * n + k] as number) + (leave[k] as number) < (cost[full * n + last] as number) + (leave[last] as number) - 1e-12) last = k; // biome-ignore format: one choice
  const total = (cost[full * n + last] as number) + (leave[last] as number);
  const order: number[] = [];
  if (!Number.isFinite(total)) return { order, cost: total };
  for (let set = full; set > 0; ) {
    order.unshift(last);
    const from = before[set * n + last] as number;
    set &= ~(1 << last);
    last = from;
  }
  return { order, cost: total };
}
