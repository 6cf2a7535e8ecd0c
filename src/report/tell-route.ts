/** The route in numbers, why there is none when there is none, and the places that the pictures point at. */
import type { Job } from "../job/index.ts";
import type { RouteCurve } from "../path/index.ts";
import { bendRadius, type PlanResult } from "../plan/index.ts";
import type { Sign } from "./draw-views.ts";
import { type Measures, say, sayPlace, sayRough } from "./measure.ts";
import { facts, type Page, table, tag } from "./page.ts";

export function tellRoute(page: Page, job: Job, result: PlanResult, measures: Measures): HTMLElement[] {
  const { route } = result;
  const out: HTMLElement[] = [];
  if (route.status === "no-passage") {
    out.push(
      tag(
        page,
        "p",
        {},
        `There is no way through for a body this thick: the search was exhausted with cells of ${say(route.resolution, measures.length)}.`,
      ),
    );
  } else if (route.status === "not-found") {
    out.push(tag(page, "p", {}, "No route was found that meets every demand. This does not prove that there is none."));
  }
  if (route.obstacles.length > 0) {
    const rows = route.obstacles.map((obstacle) => [
      obstacle.says,
      say(obstacle.is, measures.length),
      say(obstacle.needed, measures.length),
      sayPlace(obstacle.place, measures),
    ]);
    out.push(table(page, "What stands in the way", ["What", "Is", "Needed", "Place (world)"], rows, [1, 2]));
  }
  if (route.status === "found" && route.curve !== undefined) out.push(tellCurve(page, job, route.curve, measures));
  return out;
}

function tellCurve(page: Page, job: Job, curve: RouteCurve, measures: Measures): HTMLElement {
  const { length } = measures;
  const narrow = narrowest(job, curve);
  const sharp = sharpest(curve);
  const radius = Math.max(job.arm.tool.diameter, ...job.arm.sections.map((section) => section.outerDiameter)) / 2;
  const least = Math.max(...job.arm.sections.map((section) => bendRadius(section, 1)));
  const body = job.bodies[curve.body[narrow]!]?.name;
  const where = (k: number): string => `${sayRough(curve.arc[k]!, length)} along the route, at ${sayPlace(at(curve, k), measures)}`;
  return facts(page, "The route (simulated)", [
    ["Length, guide exit to tool point", sayRough(curve.arc[curve.count - 1]!, length)],
    ["Free radius at the port, and the body's", `${say(curve.distance[0]!, length)}, ${say(radius, length)}`],
    [
      "Narrowest place beyond the port",
      `free radius ${say(curve.distance[narrow]!, length)}, the clearance asked for taken off${body === undefined ? "" : `, at ${body}`}; ${where(narrow)}`,
    ],
    [
      "Sharpest bend",
      curve.curvature[sharp]! > 1e-9
        ? `radius ${sayRough(1 / curve.curvature[sharp]!, length)}, ${where(sharp)}; the arm can bend to ${sayRough(least, length)} with every joint at its limit`
        : "none: straight",
    ],
  ]);
}

/** Port, target, and what matters between them. */
export function listSigns(job: Job, result: PlanResult, { length }: Measures): Sign[] {
  const { curve, obstacles, status } = result.route;
  const signs: Sign[] = [
    { letter: "P", says: `Port: ${job.port.name}`, place: job.port.centre },
    { letter: "T", says: `Target: ${job.target.name}`, place: job.target.place },
  ];
  if (status === "found" && curve !== undefined) {
    const [narrow, sharp] = [narrowest(job, curve), sharpest(curve)];
    signs.push({
      letter: "N",
      says: `Narrowest place beyond the port: free radius ${say(curve.distance[narrow]!, length)}`,
      place: at(curve, narrow),
    });
    if (curve.curvature[sharp]! > 1e-9)
      signs.push({
        letter: "B",
        says: `Sharpest bend of the route: radius ${sayRough(1 / curve.curvature[sharp]!, length)}`,
        place: at(curve, sharp),
      });
  }
  const clearance = result.verdict.rows.find((row) => row.id === "clearance");
  if (clearance?.where.place !== undefined)
    signs.push({
      letter: "C",
      says: `Least clearance of the arm: ${say(clearance.limit, length)} (${clearance.whereSays})`,
      place: clearance.where.place,
    });
  obstacles.slice(0, 5).forEach((obstacle, k) => {
    signs.push({ letter: "VWXYZ"[k]!, says: obstacle.says, place: obstacle.place });
  });
  return signs;
}

/** The port itself is a bore, and as a rule the narrowest of all: it is told apart. */
function narrowest(job: Job, curve: RouteCurve): number {
  let best = curve.count - 1;
  for (let k = 0; k < curve.count; k++) if (curve.arc[k]! > job.port.bore && curve.distance[k]! < curve.distance[best]!) best = k;
  return best;
}

function sharpest(curve: RouteCurve): number {
  let best = 0;
  for (let k = 1; k < curve.count; k++) if (curve.curvature[k]! > curve.curvature[best]!) best = k;
  return best;
}

function at(curve: RouteCurve, k: number): number[] {
  return Array.from(curve.point.subarray(3 * k, 3 * k + 3));
}
