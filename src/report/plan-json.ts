/** A plan's result as JSON, and back. docs/plan-json.md lists every field with its unit and shape. */
import { type Fault, refuse } from "../base/index.ts";
import type { DepthRecord } from "../insertion/index.ts";
import type { RouteCurve } from "../path/index.ts";
import type { PlanResult } from "../plan/index.ts";
import { planCoding } from "./plan-coding.ts";

/** The one version there is. */
const known = 1;

/** Places keep 1e-10 m, other numbers 10 significant digits. Writing what was read gives the same text. */
export function planJson(result: PlanResult): string {
  return `${JSON.stringify(planCoding.write(result))}\n`;
}

/** @throws InputError `plan.text`, `plan.version`, `plan.content` with every fault of the stage */
export function readPlanJson(text: string): PlanResult {
  const raw = parse(text);
  checkVersion(raw);
  const faults: Fault[] = [];
  const result = planCoding.read(raw, "", faults);
  refuse(faults);
  checkShapes(result, faults);
  refuse(faults);
  return result;
}

function parse(text: string): unknown {
  let raw: unknown;
  try {
    raw = JSON.parse(text);
  } catch (error) {
    refuse([
      {
        code: "plan.text",
        path: "",
        problem: `is no JSON: ${(error as Error).message}.`,
        hint: "Write the plan again; it may have been cut off.",
      },
    ]);
  }
  return raw;
}

function checkVersion(raw: unknown): void {
  if (typeof raw !== "object" || raw === null || Array.isArray(raw)) {
    refuse([{ code: "plan.content", path: "", problem: "is no plan.", hint: "A plan is a group of keys that begins with its version." }]);
  }
  const { version } = raw as { version?: unknown };
  if (version === known) return;
  const newer = typeof version === "number" && version > known;
  refuse([
    {
      code: "plan.version",
      path: "version",
      problem: version === undefined ? "is missing." : `is ${JSON.stringify(version)}.`,
      hint: newer ? `This program reads version ${known}; a newer one wrote this.` : `Version ${known} is read. Plan the job again.`,
    },
  ]);
}

/** Every array of a depth has as many entries as the others of its kind say. */
function checkShapes(result: PlanResult, faults: Fault[]): void {
  if (result.route.curve !== undefined) checkCurve(result.route.curve, faults);
  result.visits?.forEach((visit, k) => {
    if (visit.route.curve !== undefined) checkCurve(visit.route.curve, faults, `visits[${k}].`);
    checkWays(visit, faults, `visits[${k}].`);
  });
  checkWays(result, faults, "");
}

function checkWays(result: Pick<PlanResult, "wayIn" | "wayOut">, faults: Fault[], prefix: string): void {
  const first = result.wayIn[0] ?? result.wayOut[0];
  if (first === undefined) return;
  const sizes = { vertebrae: first.clearance.length, cables: first.tension.length, bends: first.bend.length };
  result.wayIn.forEach((record, k) => {
    checkRecord(record, sizes, `${prefix}wayIn[${k}]`, faults);
  });
  result.wayOut.forEach((record, k) => {
    checkRecord(record, sizes, `${prefix}wayOut[${k}]`, faults);
  });
}

function checkRecord(
  record: DepthRecord,
  sizes: { vertebrae: number; cables: number; bends: number },
  path: string,
  faults: Fault[],
): void {
  const { vertebrae, cables, bends } = sizes;
  const spans = vertebrae - 1;
  const wanted = {
    frames: 12 * vertebrae, tool: 3, bend: bends, tension: cables, drawn: cables, clearance: vertebrae, nearest: vertebrae, swept: vertebrae,
    sweptNearest: vertebrae, jointAngle: spans, strain: spans, stress: spans, twist: vertebrae,
  }; // biome-ignore format: one list
  for (const [key, count] of Object.entries(wanted))
    sizeFault((record as unknown as Record<string, ArrayLike<number>>)[key]!, count, `${path}.${key}`, faults);
  if (record.loose !== undefined) {
    for (const [key, count] of [
      ["hull", vertebrae],
      ["tip", 3],
      ["aim", 3],
    ] as const)
      sizeFault(record.loose[key], count, `${path}.loose.${key}`, faults);
  }
  for (const key of ["firstFree", "tightest"] as const) {
    if (record[key] >= 0 && record[key] < vertebrae) continue;
    faults.push({ code: "plan.content", path: `${path}.${key}`, problem: `is ${record[key]}.`, hint: `It is a vertebra, 0 to ${spans}.` });
  }
}

function checkCurve(curve: RouteCurve, faults: Fault[], prefix = ""): void {
  const n = curve.count;
  const wanted = { point: 3 * n, tangent: 3 * n, arc: n, curvature: n, distance: n, body: n };
  for (const [key, count] of Object.entries(wanted))
    sizeFault(curve[key as keyof typeof wanted], count, `${prefix}route.curve.${key}`, faults);
}

function sizeFault(values: ArrayLike<number>, count: number, path: string, faults: Fault[]): void {
  if (values.length === count) return;
  faults.push({
    code: "plan.content",
    path,
    problem: `has ${values.length} entries.`,
    hint: `It must have ${count}, as the rest of the plan says.`,
  });
}
