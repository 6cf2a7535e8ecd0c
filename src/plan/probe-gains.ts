/**
 * What would gain the tightest margins: the arm with one number changed, solved again at the depth of the margin with the
 * bends kept. An estimate: the route and the other depths stay as they are.
 */
import { type ArmDescription, createArm } from "../arm/index.ts";
import { createInsertionWork, type DepthRecord, type InsertionModel, solveAt, solved } from "../insertion/index.ts";
import { createInspection, createRodState, inspectShape } from "../rod/index.ts";
import type { MarginRow } from "../verdict/index.ts";
import type { PlanModel, PlanState } from "./model.ts";

interface Change {
  readonly says: string;
  readonly apply: (arm: ArmDescription) => ArmDescription;
}

const eachSection = (
  arm: ArmDescription,
  change: (s: ArmDescription["sections"][number]) => ArmDescription["sections"][number],
): ArmDescription => ({
  ...arm,
  sections: arm.sections.map(change),
});

/** Changes a workshop makes first. */
const changes: readonly Change[] = [
  { says: "pretension down by a quarter", apply: (arm) => eachSection(arm, (s) => ({ ...s, pretension: s.pretension * 0.75 })) },
  { says: "pretension up by a quarter", apply: (arm) => eachSection(arm, (s) => ({ ...s, pretension: s.pretension * 1.25 })) },
  { says: "cables a fifth thicker", apply: (arm) => eachSection(arm, (s) => ({ ...s, cable: thicker(s.cable) })) },
  {
    says: "rods a tenth thinner",
    apply: (arm) => eachSection(arm, (s) => ({ ...s, rods: s.rods.map((r) => ({ ...r, diameter: r.diameter * 0.9 })) })),
  },
  { says: "tool a fifth lighter", apply: (arm) => ({ ...arm, tool: { ...arm.tool, mass: arm.tool.mass * 0.8 } }) },
];

function thicker(cable: ArmDescription["sections"][number]["cable"]): ArmDescription["sections"][number]["cable"] {
  return {
    ...cable,
    name: `${cable.name}, thicker`,
    diameter: cable.diameter * 1.2,
    breakingLoad: cable.breakingLoad * 1.44,
    massPerLength: cable.massPerLength * 1.44,
  };
}

/** Rows whose number one solve at one depth gives. */
const probed = ["joint", "strain", "cable-load", "twist"] as const;
/** Steps of the whole probing, one change each. */
export const probeSteps = changes.length;

/** One change: its effect on each probed margin is added to `state.gains` when it helps. */
export function probeGains(model: PlanModel, inner: InsertionModel, state: PlanState, step: number): void {
  const change = changes[step];
  const verdict = state.verdict;
  if (change === undefined || verdict === undefined) return;
  let arm: InsertionModel["arm"];
  try {
    arm = createArm(change.apply(model.job.arm));
  } catch {
    return; // the changed arm cannot be built: nothing to gain there
  }
  const changed: InsertionModel = { ...inner, arm };
  const work = createInsertionWork(changed, model.space);
  for (const row of verdict.rows) {
    if (!(probed as readonly string[]).includes(row.id) || row.where.depth === undefined) continue;
    const record = state.insertion?.wayIn.find((r) => r.depth === row.where.depth);
    if (record === undefined) continue;
    const use = useAt(changed, record, row, work);
    if (use === undefined || use >= row.use * 0.995) continue;
    const gains = state.gains[row.id] ?? [];
    gains.push({ from: "estimated", says: `${change.says}: ${Math.round(row.use * 100)} % to ${Math.round(use * 100)} % of the limit` });
    state.gains[row.id] = gains;
  }
}

function useAt(
  model: InsertionModel,
  record: DepthRecord,
  row: MarginRow,
  work: ReturnType<typeof createInsertionWork>,
): number | undefined {
  const { arm } = model;
  const state = createRodState(arm);
  if (!solved(solveAt(model, record.depth, record.roll, record.bend, state, work))) return undefined;
  const seen = createInspection(arm);
  inspectShape(arm, state, work.rod, seen);
  if (row.id === "twist") return Math.abs(seen.twist[arm.spans] as number) / row.limit;
  if (row.id === "cable-load") return state.tension.reduce((worst, t, c) => Math.max(worst, t / (arm.workingLoad[c] as number)), 0);
  const perSpan = row.id === "joint" ? seen.jointAngle : seen.strain;
  return perSpan.reduce((worst, value, i) => Math.max(worst, value / limitAt(arm, i, row.id)), 0);
}

function limitAt(arm: InsertionModel["arm"], span: number, id: string): number {
  const section = arm.description.sections[arm.sectionOfSpan[span] as number];
  if (section === undefined) return Number.NaN;
  return id === "joint" ? section.jointLimit : Math.min(...section.rods.map((rod) => rod.material.allowedStrain));
}
