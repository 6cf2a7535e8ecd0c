/** The routes there are to choose from, as a person reads them in a terminal, and as a machine does. */
import { formatQuantity, type UnitSystem } from "../../src/base/index.ts";
import type { Job } from "../../src/job/index.ts";
import type { OfferedRoute } from "../../src/plan/index.ts";
import { layTable } from "./lay-table.ts";

export function sayRoutes(job: Job, routes: readonly OfferedRoute[], units: UnitSystem): string {
  const say = (length: number): string => (Number.isFinite(length) ? formatQuantity(rounded(length), "length", units, 3) : "straight");
  const bodyOf = (body: number): string => job.bodies[body]?.name ?? "nothing near";
  const found = routes.filter(({ measures }) => measures !== undefined);
  if (found.length === 0) return `${job.name}: no route was found. Plan the job to be told what stands in the way.\n`;
  const rows = found.map(({ number, measures }) => {
    if (measures === undefined) return [];
    const { length, clearance, clearanceBody, bend, passage } = measures;
    return [
      String(number),
      say(length),
      `${say(clearance)} to ${bodyOf(clearanceBody)}`,
      say(bend),
      `${say(2 * passage.free)} at ${bodyOf(passage.body)}`,
      `(${passage.place.map((x) => formatQuantity(rounded(x), "length", units, 3)).join(", ")})`,
    ];
  });
  const others = routes.filter(({ measures }) => measures === undefined);
  const head = ["route", "length", "least room beside the body", "sharpest bend", "narrowest passage", "where"];
  return [
    `${job.name}: ${found.length === 1 ? "one route" : `${found.length} routes`}, in the order found; the arm is laid on none of them yet`,
    layTable([head, ...rows], [0]),
    ...(others.length === 0 ? [] : ["Ways without a curve that the arm can bend to", ...others.map((one) => `  - ${sayWhy(one)}`)]),
    "Room and passage: what the bodies must be kept clear by is taken off. Plan by one of them with --route and its number.",
    "",
  ].join("\n");
}

/** Hundredths of a millimetre are enough of a place, and more than a clearance is good for. */
function rounded(length: number): number {
  return Math.round(length * 1e5) / 1e5;
}

function sayWhy({ route }: OfferedRoute): string {
  return route.obstacles[0]?.says ?? "none was found";
}

export function routesData(routes: readonly OfferedRoute[]): object {
  return {
    routes: routes.map(({ number, route, measures }) => ({
      number,
      status: route.status,
      ...(measures === undefined
        ? { obstacles: route.obstacles }
        : {
            lengthM: measures.length,
            leastRoomM: measures.clearance,
            leastRoomAtM: measures.clearanceAt,
            leastRoomBody: measures.clearanceBody,
            sharpestBendM: Number.isFinite(measures.bend) ? measures.bend : null,
            sharpestBendAtM: measures.bendAt,
            passageDiameterM: 2 * measures.passage.free,
            passageAtM: measures.passage.place,
            passageBody: measures.passage.body,
          }),
    })),
  };
}
