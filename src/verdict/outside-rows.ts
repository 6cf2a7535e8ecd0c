/** Margins of the room outside the port: the carriage's way, the things that stand there, and the arm pushed through the gap. */
import { formatQuantity } from "../base/index.ts";
import type { Facts } from "./facts.ts";
import { mm } from "./places.ts";
import type { Draft } from "./rows.ts";

export function outsideRows({ outside: fact }: Facts): Draft[] {
  if (fact === undefined) return [];
  const { outside, feed, strokes, room, buckling } = fact;
  const rows: Draft[] = [];
  if (outside.stroke !== undefined && strokes > 0) {
    rows.push({
      id: "outside-stroke",
      title: "Carriage stroke",
      unit: "m",
      certain: true,
      demand: feed / strokes,
      limit: outside.stroke,
      use: feed / strokes / outside.stroke,
      warnAbove: 0.97,
      where: { depth: feed },
      whereSays: strokes === 1 ? "fed in one stroke" : `fed in ${strokes} strokes, gripped anew ${times(strokes - 1)}`,
      note: `A feed of ${mm(feed)} in all${strokes > 1 ? "; each time the carriage goes back something else must hold the arm, against its pull too" : ""}.`,
    });
  }
  if (room.thing !== "") {
    const asked = outside.clearance;
    rows.push({
      id: "outside-room",
      title: "Room outside",
      unit: "m",
      certain: true,
      demand: asked,
      limit: room.distance,
      use: room.distance > 0 ? asked / room.distance : Number.POSITIVE_INFINITY,
      where: {},
      whereSays: room.distance > 0 ? `${room.thing} to ${room.to}` : `${room.thing} runs into ${room.to}`,
      note: "Over all of the carriage's way, to half a millimetre; things are boxes, and what people need beside them is only what the job lists.",
    });
  }
  if (buckling !== undefined) {
    const { push, column } = buckling;
    const least = Number.isNaN(column.solved) ? column.euler : Math.min(column.euler, column.solved);
    const limit = least / outside.bucklingFactor;
    rows.push({
      id: "outside-buckling",
      title: "Push through the gap",
      unit: "N",
      demand: push.total,
      limit,
      use: limit > 0 ? push.total / limit : Number.POSITIVE_INFINITY,
      where: { way: "in", depth: push.depth },
      whereSays: `way in, ${mm(push.depth)} deep, ${mm(column.length)} free between carriage and guide`,
      note: `${newton(least)} over a reserve of ${outside.bucklingFactor}: Euler's column gives ${newton(column.euler)} (effective length ${mm(column.factor * column.length)}), the arm itself with its cables at pretension ${Number.isNaN(column.solved) ? "was not solved: too short or not to be cut out" : newton(column.solved)}. The push holds ${newton(push.weight)} of weight along the axis, ${newton(push.walls)} of the walls, ${newton(push.guide)} of friction in the guide and ${newton(push.tube)} in the guide tube; fluid, what a drum takes to turn and dragged conduits are left out.`,
    });
  }
  return rows;
}

/** What no row can tell. */
export function outsideConditions({ outside: fact }: Facts): string[] {
  if (fact === undefined) return [];
  return [
    ...(fact.strokes > 1
      ? [
          `The arm is gripped anew ${times(fact.strokes - 1)} on the way in: a clamp at the guide must hold it while the carriage goes back.`,
        ]
      : []),
    ...(fact.outside.things.length === 0
      ? ["The job lists nothing that stands outside the port: room for pack, clamp, drum and hands is to be looked at."]
      : []),
    ...(fact.buckling === undefined && !Number.isNaN(fact.feed)
      ? ["No length between carriage and guide is given: whether the arm buckles there is to be looked at."]
      : []),
  ];
}

export function assumeOutside({ outside: fact }: Facts): string[] {
  if (fact?.buckling === undefined) return [];
  const { column } = fact.buckling;
  return [
    `Between carriage and guide the arm is a straight column of ${formatQuantity(column.stiffness, "bending-stiffness", "metric", 3)}; its cables' ${newton(column.tension)} run through the vertebrae and do not buckle it as a load from outside would.`,
  ];
}

function times(count: number): string {
  return count === 1 ? "once" : `${count} times`;
}

function newton(value: number): string {
  return formatQuantity(value, "force", "metric", 3);
}
