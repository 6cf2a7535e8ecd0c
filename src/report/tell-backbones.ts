/** One backbone against two, for the arm and the load of a plan. */
import { type ArmModel, createArm } from "../arm/index.ts";
import { type BackboneKind, type BackboneModel, type BackboneRow, createBackboneModel, type Hold } from "../capacity/index.ts";
import type { Job } from "../job/index.ts";
import { createFrameAlong, rollFrame } from "../math/index.ts";
import type { PlanResult } from "../plan/index.ts";
import { type Measures, sayNumber, sayUse } from "./measure.ts";
import { type Page, part, table, tag } from "./page.ts";

/** A comparison that `compareBackbones` has brought to its end. */
export interface ComparedBackbones {
  readonly model: BackboneModel;
  readonly rows: readonly BackboneRow[];
}

/**
 * What to compare for a plan's report: the arm straight out of the port (level where that is along gravity and the load would not bend it) as
 * far as it goes in, and in the bends of the deepest shape.
 */
export function createPlanBackbones(job: Job, result: PlanResult): BackboneModel {
  const arm = createArm(job.arm);
  const exit = exitOf(arm, result);
  const base = new Float64Array(12);
  rollFrame(createFrameAlong(job.port.centre, isAlongGravity(job) ? levelOf(job) : job.port.axis), 0, -exit, base);
  const straight: Hold = { ...loadOf(job), lockedAt: "unloaded", stance: { base, exit }, bend: new Float64Array(2 * arm.sections) };
  const bent = deepestHold(job, result, arm, "unloaded");
  return createBackboneModel(job.arm, bent === undefined ? [straight] : [straight, bent]);
}

/** Within ten degrees. */
function isAlongGravity(job: Job): boolean {
  const { gravity } = job.conditions;
  const { axis } = job.port;
  const along = axis[0] * gravity[0] + axis[1] * gravity[1] + axis[2] * gravity[2];
  return Math.abs(along) > Math.cos(Math.PI / 18) * Math.hypot(...gravity) * Math.hypot(...axis);
}

/** A direction across gravity. */
function levelOf(job: Job): readonly [number, number, number] {
  const [x, y, z] = job.conditions.gravity;
  const across = Math.abs(z) > Math.abs(x) ? ([z, 0, -x] as const) : ([-y, x, 0] as const);
  const size = Math.hypot(...across);
  return [across[0] / size, across[1] / size, across[2] / size];
}

/** The deepest shape of the way in, to lock the drives there; undefined where the arm did not go in at all. */
export function deepestHold(job: Job, result: PlanResult, arm: ArmModel, lockedAt: Hold["lockedAt"]): Hold | undefined {
  const deepest = result.wayIn.at(-1);
  if (deepest === undefined) return undefined;
  const exit = exitOf(arm, result);
  const base = new Float64Array(12);
  rollFrame(createFrameAlong(job.port.centre, job.port.axis), deepest.roll, -exit, base);
  const stance = { base, exit, roll: deepest.roll };
  return { ...loadOf(job), lockedAt, stance, bend: deepest.bend.slice() };
}

function exitOf(arm: ArmModel, result: PlanResult): number {
  const whole = (arm.along[arm.spans] as number) + arm.description.tool.length;
  return Math.max(0, whole - (result.wayIn.at(-1)?.depth ?? whole));
}

function loadOf(job: Job): Pick<Hold, "gravity" | "forces" | "fluid"> {
  const { gravity, fluid } = job.conditions;
  return { gravity, forces: [], ...(fluid === undefined || fluid === "dry" ? {} : { fluid }) };
}

const words: Readonly<Record<BackboneKind, string>> = {
  given: "as it is",
  "one-rod": "one rod, as thick",
  "one-stiff-rod": "one rod, as stiff to bend",
  twin: "two rods, as thick",
};

/** Nothing where no other backbone fits. */
export function tellBackbones(page: Page, job: Job, { model, rows }: ComparedBackbones, measures: Measures): HTMLElement[] {
  if (model.backbones.length < 2) return [];
  const { length, angle } = measures;
  const loses = model.backbones.some((backbone) => backbone.losesChannel);
  return [
    part(
      page,
      "One backbone against two",
      tag(
        page,
        "p",
        {},
        `The same arm with another backbone of the same material, under the same load: drives locked, then weight and tool come on. Simulated by the full model, without friction and without walls.${
          loses ? " A rod on the axis takes the place of the working channel." : ""
        }`,
      ),
      ...model.holds.map((_, k) =>
        table(
          page,
          `${k > 0 ? "In the bends of the deepest shape" : isAlong(model.holds[0] as Hold, job) ? "Straight out of the port" : "Straight and level"}, ${sayNumber(lengthOut(model.arms[0] as ArmModel, model.holds[k] as Hold), length, 0)}\u00a0${length.name} out`,
          ["Backbone", "Stands", `Tip sags, ${length.name}`, `Twist by the load, ${angle.name}`, "Joint", "Strain"],
          rows.filter((row) => row.hold === k).map((row) => tellRow(row, measures)),
          [2, 3, 4, 5],
        ),
      ),
    ),
  ];
}

function isAlong({ stance }: Hold, { port }: Job): boolean {
  const [x, y, z] = [2, 5, 8].map((k) => stance.base[k] as number) as [number, number, number];
  return x * port.axis[0] + y * port.axis[1] + z * port.axis[2] > 0.999;
}

function lengthOut(arm: ArmModel, hold: Hold): number {
  return (arm.along[arm.spans] as number) + arm.description.tool.length - hold.stance.exit;
}

function tellRow(row: BackboneRow, { length, angle }: Measures): string[] {
  const stands = row.status === "stable" || row.status === "slack";
  if (!stands) return [words[row.kind], row.status === "buckled" ? "no: it falls" : "not known", "", "", "", ""];
  return [
    words[row.kind],
    "yes",
    sayNumber(row.sag, length, 1),
    sayNumber(row.twist - row.twistBefore, angle, 1),
    sayUse(row.uses.stop),
    sayUse(row.uses.strain),
  ];
}
