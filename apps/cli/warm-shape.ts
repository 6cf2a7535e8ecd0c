/** What the ends of a temperature's range, and creep, do to a solved shape with the drives locked; for `withy solve`. */
import { type ArmModel, heatArm, linearStrainAt } from "../../src/arm/index.ts";
import { formatQuantity, type UnitSystem } from "../../src/base/index.ts";
import { pointOf } from "../../src/math/index.ts";
import {
  copyRodState,
  createInspection,
  createRodWork,
  inspectShape,
  type Load,
  listWarmings,
  type RodState,
  type RodWork,
  readFreeLengths,
  type Stance,
  solveWarm,
  type Temperature,
  type Warming,
} from "../../src/rod/index.ts";
import { layTable } from "./lay-table.ts";

/** SI, with the unit in every name; of a shape that was not found there is the status alone. */
export type WarmAnswer = ReturnType<typeof describeWarm>;

export interface Shape {
  readonly state: RodState;
  readonly work: RodWork;
  readonly load: Load;
  readonly stance: Stance;
}

/** @param shape as its solve left it; nothing of it is written */
export function warmShapes(arm: ArmModel, shape: Shape, temperature: Temperature): WarmAnswer[] {
  const free = new Float64Array(arm.cables);
  readFreeLengths(arm, shape.state, shape.work, free);
  const before = toolPoint(arm, shape.work);
  const work = createRodWork(arm);
  return listWarmings(arm, temperature, true).map((at) => {
    const warm = heatArm(arm, at.arm);
    const state = copyRodState(shape.state);
    const report = solveWarm(arm, warm, at, shape.load, shape.stance, shape.state.tension, free.slice(), state, work);
    const found = report.status === "stable" || report.status === "slack";
    return describeWarm(arm, at, temperature, report.status, found ? measure(warm, state, work, before, at) : undefined);
  });
}

function measure(arm: ArmModel, state: RodState, work: RodWork, before: Float64Array, at: Warming) {
  const seen = createInspection(arm);
  inspectShape(arm, state, work, seen);
  const [x, y, z] = toolPoint(arm, work).map((v, k) => v - (before[k] as number));
  const greatest = Math.max(...seen.strain);
  const line = Math.min(...arm.description.sections.flatMap((s) => s.rods.map((rod) => linearStrainAt(rod.material, at.arm))));
  return {
    movedM: Math.hypot(x as number, y as number, z as number),
    tensionN: [...state.tension],
    greatestStrain: greatest,
    straightLineEndsAt: Number.isFinite(line) ? line : null,
  };
}

function describeWarm(arm: ArmModel, at: Warming, { setUp }: Temperature, status: string, found: ReturnType<typeof measure> | undefined) {
  const slack = found?.tensionN.flatMap((t, c) => (t <= 0 ? [c + 1] : [])) ?? [];
  return {
    armK: setUp + at.arm,
    ...(arm.description.conduitLength > 0 ? { conduitK: setUp + at.conduit } : {}),
    crept: at.creep,
    status,
    ...(found === undefined ? {} : { ...found, slackCables: slack }),
  };
}

function toolPoint(arm: ArmModel, work: RodWork): Float64Array {
  const point = new Float64Array(3);
  pointOf(work.frame, arm.spans, 0, 0, arm.description.tool.length, point);
  return point;
}

export function sayWarmShapes(answers: readonly WarmAnswer[], untold: readonly string[], units: UnitSystem): string[] {
  if (answers.length === 0) return ["", "As it was set up: the temperature changes nothing."];
  const kelvin = (value: number | undefined): string => (value === undefined ? "" : formatQuantity(value, "temperature", units, 4));
  const rows = answers.map((one) => {
    const places = [kelvin(one.armK), kelvin(one.conduitK), one.crept ? "yes" : ""];
    if (!("tensionN" in one)) return [...places, one.status, "", "", "", ""];
    const least = Math.min(...(one.tensionN as number[]));
    const most = Math.max(...(one.tensionN as number[]));
    const slack = one.slackCables as number[];
    return [
      ...places,
      formatQuantity(one.movedM as number, "length", units, 3),
      `${formatQuantity(least, "force", units, 3)} .. ${formatQuantity(most, "force", units, 3)}`,
      slack.length === 0 ? "none" : slack.join(", "),
      `${(100 * (one.greatestStrain as number)).toFixed(2)} %`,
      one.straightLineEndsAt === null ? "" : `${(100 * (one.straightLineEndsAt as number)).toFixed(2)} %`,
    ];
  });
  return [
    "",
    "Warmed and cooled with the drives locked:",
    "",
    layTable(
      [["arm", "conduits", "crept", "tool moves", "tensions", "slack", "worst strain", "straight line to"], ...rows],
      [0, 1, 3, 4, 6, 7],
    ),
    ...(untold.length === 0 ? [] : [`No expansion is given for ${untold.join(", ")}: none is taken.`]),
  ];
}
