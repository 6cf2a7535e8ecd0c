/** Points of two questions laid over the same places, for one chart. */
import type { PayloadEnd } from "../../../src/capacity/index.ts";
import type { ChartData, ChartLine } from "./map-plot.ts";

export interface Point {
  readonly at: number;
  readonly end?: PayloadEnd;
}

export interface Merged {
  readonly data: ChartData;
  /** [point] its index among the chart's places, and back (-1: a place of the question before alone) */
  readonly placeOf: readonly number[];
  readonly pointOf: readonly number[];
}

/**
 * @param values [line] of each point; NaN leaves a gap
 * @param beforeLine which of the lines is drawn of the question before as well
 */
export function mergePoints<P extends Point>(
  points: readonly P[],
  before: readonly P[],
  place: (at: number) => number,
  lines: readonly { readonly of: (point: P) => number; readonly look: ChartLine["look"]; readonly bars?: true }[],
): Merged {
  const all = [...new Set([...points, ...before].map((one) => one.at))].sort((a, b) => a - b);
  const index = new Map(all.map((at, k) => [at, k]));
  const find = (list: readonly P[]) => {
    const found: (P | undefined)[] = all.map(() => undefined);
    for (const one of list) found[index.get(one.at) as number] = one;
    return found;
  };
  const now = find(points);
  const earlier = find(before);
  const valuesOf = (list: readonly (P | undefined)[], of: (point: P) => number) =>
    list.map((one) => {
      // a place of the other question alone is no gap; a value that is not known is one
      if (one === undefined) return undefined;
      const value = of(one);
      return Number.isFinite(value) ? value : null;
    });
  const first = lines[0];
  const ends = now.map((one) => one?.end);
  return {
    data: {
      at: all.map(place),
      lines: [
        ...lines.map(
          (line): ChartLine => ({ values: valuesOf(now, line.of), look: line.look, ...(line.bars === true ? { bars: true } : {}) }),
        ),
        ...(first === undefined || before.length === 0 ? [] : [{ values: valuesOf(earlier, first.of), look: "before" } as const]),
      ],
      ...(ends.some((end) => end !== undefined) ? { ends } : {}),
    },
    placeOf: points.map((one) => index.get(one.at) as number),
    pointOf: now.map((one) => (one === undefined ? -1 : points.indexOf(one))),
  };
}
