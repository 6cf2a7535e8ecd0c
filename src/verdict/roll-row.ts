/** How far the base's roll winds up what does not roll with it. */
import { formatQuantity } from "../base/index.ts";
import type { DepthRecord } from "../insertion/index.ts";
import type { Facts } from "./facts.ts";
import type { Draft } from "./rows.ts";

/** No row where the job gives no limit. */
export function rollRows(facts: Facts): Draft[] {
  const limit = facts.roll?.mostTurns;
  if (limit === undefined || facts.wayIn[0] === undefined) return [];
  let record: DepthRecord = facts.wayIn[0];
  let way: "in" | "out" = "in";
  const take = (other: DepthRecord, on: "in" | "out"): void => {
    if (!(Math.abs(other.roll) > Math.abs(record.roll))) return;
    record = other;
    way = on;
  };
  for (const other of facts.wayIn) take(other, "in");
  for (const other of facts.wayOut) take(other, "out");
  const demand = Math.abs(record.roll);
  const what = facts.roll?.carries === "cables" ? "cables" : "umbilical";
  return [
    {
      id: "roll",
      title: `Turns of the ${what}`,
      unit: "rad",
      demand,
      limit: 2 * Math.PI * limit,
      use: demand / (2 * Math.PI * limit),
      where: { way, depth: record.depth },
      whereSays: `way ${way}, ${formatQuantity(record.depth, "length", "metric", 3)} deep`,
      note: `Roll of the arm's base from where the ${what} hang${what === "cables" ? "" : "s"} straight, either way.${sayWound(record)}`,
      certain: true,
    },
  ];
}

function sayWound({ wound }: DepthRecord): string {
  if (wound === undefined) return "";
  const longest = formatQuantity(wound.longest, "length", "metric", 3);
  const locked = formatQuantity(wound.locked, "force", "metric", 3);
  return ` The cables' way grows by up to ${longest} there, which their drives let out (locked, it would pull ${locked} more); they turn the base back with ${Number(wound.moment.toPrecision(2))} N m.`;
}

/** Who rolls, for the assumptions. */
export function sayRoll({ roll }: Facts): string {
  if (roll?.carries !== "cables") return "Pack and drum roll with the arm";
  const length = formatQuantity(roll.windingLength as number, "length", "metric", 3);
  return `Pack and drum stand still and the cables wind over ${length} as the arm rolls (without friction there)`;
}
