/** What was solved at every depth, way in and way out. */
import type { ArmModel } from "../arm/index.ts";
import type { DepthRecord } from "../insertion/index.ts";
import type { Job } from "../job/index.ts";
import type { PlanResult } from "../plan/index.ts";
import { slackest, strongest, sureSpare, tipTwist, worstJoint, worstStrain } from "./depth-series.ts";
import { type Measure, type Measures, sayNumber } from "./measure.ts";
import { type Child, type Page, table, tag } from "./page.ts";

export function depthTables(page: Page, job: Job, arm: ArmModel, result: PlanResult, measures: Measures): HTMLElement[] {
  const unsettled = [...result.wayIn, ...result.wayOut].some((record) => !record.settled);
  return [
    tag(
      page,
      "p",
      { class: "soft" },
      "Both gaps are of the true hull, guaranteed at the depth and on the way to it from the depth before, each body's stand-off taken off. " +
        "Clearance is to the bodies that must not be touched; in brackets the vertebra and the number of the body. " +
        "To spare is the least that is left to any body, the port and what may be touched included, beyond the clearance asked for there. " +
        "Behind a tension stands the cable, behind an angle or strain the joint, both counted from the base." +
        (unsettled ? " A star at a depth: laying the arm on the route ran out of tries there, and a better shape may exist." : ""),
    ),
    depthTable(page, "Way in, from the port (simulated)", arm, job, result.wayIn, measures),
    ...(result.wayOut.length > 0 ? [depthTable(page, "Way out, from the target (simulated)", arm, job, result.wayOut, measures)] : []),
  ];
}

function depthTable(
  page: Page,
  caption: string,
  arm: ArmModel,
  job: Job,
  records: readonly DepthRecord[],
  measures: Measures,
): HTMLElement {
  const { length, force, angle, strain } = measures;
  const fine = length.digits > 2 ? 3 : 1;
  const heads = [
    `Depth, ${length.name}`, `Roll, ${angle.name}`, `Clearance, ${length.name}`, `To spare, ${length.name}`, `Strongest, ${force.name}`, `Slackest, ${force.name}`,
    `Joint, ${angle.name}`, `Strain, ${strain.name}`, `Sag, ${length.name}`, `Twist, ${angle.name}`, `Off route, ${length.name}`,
  ]; // biome-ignore format: one list
  const rows = records.map((record): Child[] => {
    const [strong, slack, joint, strained] = [strongest(record), slackest(record), worstJoint(arm, record), worstStrain(arm, record)];
    const { asked, askedBody: body, askedVertebra: vertebra } = record;
    return [
      `${sayNumber(record.depth, length, fine)}${record.settled ? "" : "*"}`,
      sayNumber(record.roll, angle, 1),
      job.bodies[body] === undefined ? "none near" : `${sayNumber(asked, length)} (${vertebra}, ${body + 1})`,
      sayGap(sureSpare(record), length),
      `${sayNumber(strong.value, force)} (${strong.index + 1})`,
      `${sayNumber(slack.value, force)} (${slack.index + 1})`,
      `${sayNumber(joint.value, angle)} (${joint.index + 1})`,
      `${sayNumber(strained.value, strain)} (${strained.index + 1})`,
      sayNumber(record.sag, length),
      sayNumber(tipTwist(record), angle),
      sayNumber(record.deviation[1], length),
    ];
  });
  return table(
    page,
    caption,
    heads,
    rows,
    heads.map((_, k) => k),
    "grid depths",
  );
}

function sayGap(value: number, length: Measure): string {
  return value === Number.POSITIVE_INFINITY ? "none near" : sayNumber(value, length);
}
