/** Where a margin is, and the records it is looked for in. */
import { formatQuantity } from "../base/index.ts";
import type { DepthRecord } from "../insertion/index.ts";
import type { Facts } from "./facts.ts";

export type Way = "in" | "out";

export function mm(value: number): string {
  return formatQuantity(value, "length", "metric", 3);
}

export function each(facts: Facts, visit: (record: DepthRecord, way: Way) => void): void {
  for (const record of facts.wayIn) visit(record, "in");
  for (const record of facts.wayOut) visit(record, "out");
}

export function at(record: DepthRecord, way: Way): string {
  return `way ${way}, ${mm(record.depth)} deep`;
}

export function placeOf(record: DepthRecord, vertebra: number): readonly [number, number, number] {
  const f = 12 * vertebra + 9;
  return [record.frames[f] as number, record.frames[f + 1] as number, record.frames[f + 2] as number];
}
