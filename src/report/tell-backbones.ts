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

/** What to compare for a plan's report: the arm straight out of the port as far as it goes in, and in the bends of the deepest shape. */
export function createPlanBackbones(job: Job, result: PlanResult): BackboneModel {
  const arm = createArm(job.arm);
  const whole = (arm.along[arm.spans] as number) + job.arm.tool.length;
  const deepest = result.wayIn.at(-1);
  const exit = Math.max(0, whole - (deepest?.depth ?? whole));
  const base = new Float64Array(12);
  rollFrame(createFrameAlong(job.port.centre, job.port.axis), 0, -exit, base);
  const { gravity, fluid } = job.conditions;
  const immersed = fluid === undefined || fluid === "dry" ? {} : { fluid };
  const common = { gravity, forces: [], ...immersed, lockedAt: "unloaded" } as const;
  const straight: Hold = { ...common, stance: { base, exit }, bend: new Float64Array(2 * arm.sections) };
  if (deepest === undefined) return createBackboneModel(job.arm, [straight]);
  const bent: Hold = { ...common, stance: { base: deepest.frames.slice(0, 12), exit }, bend: deepest.bend.slice() };
  return createBackboneModel(job.arm, [straight, bent]);
}

const words: Readonly<Record<BackboneKind, string>> = {
  given: "as it is",
  "one-rod": "one rod, as thick",
  "one-stiff-rod": "one rod, as stiff to bend",
  twin: "two rods, as thick",
};

const stances = ["Straight out of the port", "In the bends of the deepest shape"] as const;

/** Nothing where no other backbone fits. */
export function tellBackbones(page: Page, { model, rows }: ComparedBackbones, measures: Measures): HTMLElement[] {
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
          `${stances[k]}, ${sayNumber(lengthOut(model.arms[0] as ArmModel, model.holds[k] as Hold), length, 0)}\u00a0${length.name} out`,
          ["Backbone", "Stands", `Tip sags, ${length.name}`, `Twist by the load, ${angle.name}`, "Joint", "Strain"],
          rows.filter((row) => row.hold === k).map((row) => tellRow(row, measures)),
          [2, 3, 4, 5],
        ),
      ),
    ),
  ];
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
