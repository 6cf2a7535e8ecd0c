/** The margins of touch rules: by distance, and by force where something is leaned on. */
import type { DepthRecord } from "../insertion/index.ts";
import type { TouchRule } from "../space/index.ts";
import type { Facts } from "./facts.ts";
import type { MarginPlace } from "./model.ts";
import { at, each, placeOf } from "./places.ts";
import type { Draft } from "./rows.ts";

export function touchRow(facts: Facts): Draft {
  let use = 0;
  let demand = 0;
  let limit = Number.POSITIVE_INFINITY;
  let where: MarginPlace = {};
  let says = "nothing is touched that must not be";
  let open = false;
  each(facts, (record, way) => {
    for (let i = 0; i < record.swept.length; i++) {
      const body = record.sweptNearest[i] as number;
      if (body < 0) continue;
      const rule = facts.bodies[body]?.touch;
      const keep = rule?.kind === "never" ? rule.standOff : 0;
      const distance = (record.swept[i] as number) + keep;
      const share = distance <= 0 ? Number.POSITIVE_INFINITY : keep / distance;
      if (rule?.kind !== "never" && distance <= 0 && isSettledTouch(record, rule)) continue;
      if (share > use || (share === use && distance < limit)) {
        use = share;
        demand = keep;
        limit = distance;
        where = { way, depth: record.depth, vertebra: i, body, place: placeOf(record, i) };
        says = `${at(record, way)}, vertebra ${i}, ${facts.bodies[body]?.name} (${rule?.kind === "free" ? "free to touch" : rule?.kind === "light" ? "light touch" : "never"})${record.contact?.state === "jammed" ? ": it jams, cables would break before the arm bends as asked" : ""}`;
        // a body that may be touched: what happens then was not found; a bound that fails where every solved shape holds proves nothing
        open = rule?.kind !== "never" || record.seenSpare >= 0 || !record.settled;
      }
    }
  });
  return {
    id: "touch",
    title: "Touch rules",
    unit: "m",
    demand,
    limit,
    use: use > 1 && open ? Number.NaN : use,
    where,
    whereSays: says,
    note: "A body that may be touched counts by its force, in a row of its own, where the shape that leans on it was found, and here where it was not. Looks at the body that is nearest to each vertebra.",
  };
}

/** Where a body that may be touched is: the leaning shape was found, or touching it changes nothing that is asked. */
function isSettledTouch({ contact }: DepthRecord, rule: TouchRule | undefined): boolean {
  if (contact !== undefined) return contact.state === "held";
  // no shape that was solved presses; between them it may be brushed, which only a light touch asks about
  return rule?.kind === "free";
}

/** One row, where something is leaned on. */
export function touchForceRows(facts: Facts): Draft[] {
  let best: Draft | undefined;
  each(facts, (record, way) => {
    const { contact } = record;
    if (contact?.state !== "held") return;
    contact.pressed.forEach((force, body) => {
      if (!(force > 0)) return;
      const rule = facts.bodies[body]?.touch;
      const limit = rule?.kind === "light" ? rule.force : Number.POSITIVE_INFINITY;
      const use = force / limit;
      if (best !== undefined && (use < best.use || (use === best.use && force <= best.demand))) return;
      const touch = contact.body.indexOf(body);
      const vertebra = touch < 0 ? undefined : (contact.vertebra[touch] as number);
      const place = [0, 1, 2].map((r) => contact.place[3 * touch + r] as number) as unknown as readonly [number, number, number];
      best = {
        id: "touch-force",
        title: "Touch force",
        unit: "N",
        demand: force,
        limit,
        use,
        where: { way, depth: record.depth, body, ...(vertebra === undefined ? {} : { vertebra, place }) },
        whereSays: `${at(record, way)}${vertebra === undefined ? ", on the way to it" : ""}, on ${facts.bodies[body]?.name} (${rule?.kind === "light" ? "light touch" : "free to touch"})`,
        note: "All pushes on one body at one depth added up, the arm's commands kept; friction on the walls left out. A body that is free to touch has no limit.",
      };
    });
  });
  return best === undefined ? [] : [best];
}
