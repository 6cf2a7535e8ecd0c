/**
 * What would gain the tightest margins: the arm with one number changed, solved again at the depth of the margin with the
 * bends kept. An estimate: the route and the other depths stay as they are.
 */
import { type ArmDescription, createArm } from "../arm/index.ts";
import { InputError } from "../base/index.ts";
import { armLength, createInsertionWork, type DepthRecord, type InsertionModel, type InsertionWork, rubs } from "../insertion/index.ts";
import type { MarginRow } from "../verdict/index.ts";
import type { PlanModel, PlanState } from "./model.ts";
import { isProbed, useAt } from "./use-at.ts";

interface Change {
  readonly says: string;
  readonly apply: (arm: ArmDescription) => ArmDescription;
  /** the one row it may be told for: with the bends kept, an arm of other sections no longer lies on the route */
  readonly only?: string;
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
  { says: "conduit half as long", apply: (arm) => ({ ...arm, conduitLength: arm.conduitLength / 2 }) },
  { says: "a span more in every section", only: "reach", apply: (arm) => eachSection(arm, (s) => ({ ...s, spans: s.spans + 1 })) },
  { says: "vertebrae a millimetre thinner", apply: (arm) => eachSection(arm, (s) => ({ ...s, outerDiameter: s.outerDiameter - 1e-3 })) },
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

/** Steps of the whole probing: the arm as it is, then one change each. */
export const probeSteps = 1 + changes.length;

/** First what each margin is without friction and as set up, then one change a step: its effect is added to `state.gains` when it helps. */
export function probeGains(model: PlanModel, inner: InsertionModel, state: PlanState, step: number, insertion: InsertionWork): void {
  if (step === 0) {
    state.bare = {};
    for (const [row, record] of probedRows(state)) state.bare[row.id] = useAt(inner, record, row, insertion) ?? row.use;
    return;
  }
  const change = changes[step - 1];
  if (change === undefined) return;
  let arm: InsertionModel["arm"];
  try {
    arm = createArm(change.apply(model.job.arm));
  } catch (error) {
    if (error instanceof InputError) return; // the changed arm cannot be built: nothing to gain there
    throw error;
  }
  const changed: InsertionModel = { ...inner, arm };
  const work = createInsertionWork(changed, model.space);
  for (const [row, record] of probedRows(state)) {
    if (change.only !== undefined && change.only !== row.id) continue;
    // what is told at an end of the temperatures, or with friction, is compared without: the change there is nearly the same
    const lost = warmed(row, state) || rubs(inner) ? row.use - (state.bare?.[row.id] ?? row.use) : 0;
    const use =
      row.id === "reach" ? row.demand / (row.limit + armLength(changed) - armLength(inner)) : plus(useAt(changed, record, row, work), lost);
    const [before, after] = [Math.round(row.use * 100), Math.round((use ?? row.use) * 100)];
    if (after >= before) continue;
    const gains = state.gains[row.id] ?? [];
    gains.push({ from: "estimated", says: `${change.says}: ${before} % to ${after} % of the limit` });
    state.gains[row.id] = gains;
  }
}

/** Rows that one solve tells, with the depth they are told at. */
function probedRows(state: PlanState): [MarginRow, DepthRecord][] {
  return (state.verdict?.rows ?? []).flatMap((row) => {
    const record = state.insertion?.wayIn.find((r) => r.depth === row.where.depth);
    return record === undefined || !isProbed(row.id) || !Number.isFinite(row.use) ? [] : [[row, record] as [MarginRow, DepthRecord]];
  });
}

function warmed(row: MarginRow, { warm }: PlanState): boolean {
  return (row.id === "cable-load" && warm?.cable.use === row.use) || (row.id === "strain" && warm?.strain.use === row.use);
}

function plus(use: number | undefined, lost: number): number | undefined {
  return use === undefined ? undefined : use + lost;
}
