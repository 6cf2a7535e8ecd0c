/** Margins -> the answer, its conditions, what was not checked, what was assumed, and the cautions. */
import { type ArmDescription, cablesRub } from "../arm/index.ts";
import { formatQuantity } from "../base/index.ts";
import { driveConditions, driveGaps } from "./drive-rows.ts";
import { assumeDrum, drumConditions } from "./drum-rows.ts";
import type { Facts } from "./facts.ts";
import { assumeGuide } from "./guide-rows.ts";
import { lookNotChecked } from "./look-rows.ts";
import type { MarginRow, Verdict } from "./model.ts";
import { assumeOutside, outsideConditions } from "./outside-rows.ts";
import { readMargin } from "./read-margins.ts";
import { sayRoll } from "./roll-row.ts";
import { marginRows } from "./rows.ts";
import { assumeSurfaces } from "./say-surfaces.ts";
import { assumeWarm, sayLine, worstLine } from "./warm.ts";
import { assumeZones, zoneConditions } from "./zone-rows.ts";

/** What this plan did not compute; each is a condition by name. */
function notComputed(facts: Facts): string[] {
  const { sections, base } = facts.arm.description;
  return [
    ...unseenFaults,
    ...(facts.outside === undefined ? ["room outside the port (the job says nothing of it)"] : []),
    ...driveGaps(facts),
    ...(cablesRub(facts.arm) ? [] : ["cable friction, conduit loss and the dead band they make (the arm says nothing of them)"]),
    ...(facts.wallFriction === undefined ? ["friction on the walls (the job does not give any)"] : []),
    ...(sections.some((section) => section.play !== undefined) ? [] : ["play of the joints (the arm says nothing of it)"]),
    ...(base?.guidePlay === undefined ? ["play at the guide's exit (the arm says nothing of it)"] : []),
    ...(base?.compliance === undefined ? ["give of the base (the arm says nothing of it)"] : []),
    ...(facts.roll?.mostTurns === undefined ? ["how far the roll may wind the umbilical or the cables (the job gives no limit)"] : []),
    ...(facts.fluid === undefined ? ["fluid: buoyancy and drag (the job does not say whether it is dry)"] : []),
    ...(!facts.arm.softens && (worstLine(facts)?.use ?? 0) > 1
      ? ["rods beyond their straight line (softer there, and on the way back)"]
      : []),
    ...(facts.temperature === undefined ? ["temperature: cables that tighten or slacken with it (the job does not give any)"] : []),
  ];
}

/** A stage of its own after the plan: `addFaults` takes them out. */
export const unseenFaults = [
  "what a broken cable, a stalled drive or lost power does among the walls (the report tells it in free air, at the deepest shape)",
  "pull-out force and what would break first",
];

/** A turn of the picture that an operator notices, rad (2 degrees; common practice, no source). */
const visibleTwist = (2 * Math.PI) / 180;

export function judge(facts: Facts): Verdict {
  const rows = marginRows(facts);
  const over = rows.filter((row) => row.state === "over");
  const unknown = rows.filter((row) => row.state === "unknown");
  const notChecked = notCheckedHere(facts);
  const base = { rows, conditions: conditionsOf(facts, rows), notChecked, assumptions: assumptionsOf(facts), cautions: cautionsOf(facts) };
  const { route } = facts;
  if (route.status === "no-passage") {
    return {
      ...base,
      answer: "no go",
      says: sayClosed(facts),
      reasons: route.obstacles.map((o) => o.says),
      conditions: [],
    };
  }
  if (route.status === "not-found") {
    return {
      ...base,
      answer: "undecided",
      says: "No route was found that meets clearance, curvature, length and aim; this does not prove that there is none.",
      reasons: route.obstacles.map((o) => o.says),
      conditions: [],
    };
  }
  if (facts.failure !== "") {
    return {
      ...base,
      answer: "undecided",
      says: "The arm could not be followed all the way.",
      reasons: [facts.failure, ...over.map(sayOver)],
      conditions: [],
    };
  }
  if (unknown.length > 0) {
    return {
      ...base,
      answer: "undecided",
      says: "Some margins could not be computed.",
      conditions: [],
      reasons: [...unknown.map(sayUnknown), ...over.map(sayOver)],
    };
  }
  if (over.length > 0) {
    return {
      ...base,
      answer: "no go",
      says: `${over.map((row) => row.title).join(", ")}: beyond the limit.`,
      reasons: over.map(sayOver),
      conditions: [],
    };
  }
  const tightest = rows[0];
  return {
    ...base,
    answer: base.conditions.length > 0 ? "go with conditions" : "go",
    says:
      tightest === undefined
        ? "All computed margins hold."
        : `All computed margins hold; the tightest is ${tightest.title.toLowerCase()}, at ${percent(tightest.use)} of its limit.`,
    reasons: [],
  };
}

function sayClosed(facts: Facts): string {
  const kinds = facts.route.obstacles.map((o) => o.kind);
  if (kinds.includes("start")) return "The port itself leaves no way in for a body this thick.";
  if (kinds.includes("target")) return "There is no room at the target for a body this thick.";
  return "No way through for a body this thick.";
}

function percent(use: number): string {
  return Number.isFinite(use) ? `${Math.round(use * 100)} %` : "beyond all";
}

function sayUnknown(row: MarginRow): string {
  const why =
    row.id === "clearance"
      ? "not shown to hold everywhere"
      : row.id === "touch"
        ? "not clear of a surface"
        : row.id === "pose"
          ? "not reached in the tries made"
          : "no balance was found";
  return `${row.title}: ${why} (${row.whereSays}). ${row.note ?? ""}`.trim();
}

function sayOver(row: MarginRow): string {
  const kind =
    row.unit === "m"
      ? "length"
      : row.unit === "rad"
        ? "angle"
        : row.unit === "N"
          ? "force"
          : row.unit === "N m"
            ? "torque"
            : row.unit === "rad/s"
              ? "turn-rate"
              : row.unit === "Pa"
                ? "pressure"
                : row.unit === "kg"
                  ? "mass"
                  : "ratio";
  const say = (value: number): string => {
    if (!Number.isFinite(value)) return "none";
    return kind === "ratio" ? `${Number((100 * value).toPrecision(3))} %` : formatQuantity(value, kind, "metric", 3);
  };
  if (row.id === "slack" && row.limit > 0) return `${row.title}: a cable loses all its pretension of ${say(row.limit)} (${row.whereSays}).`;
  if (row.id === "slack" && row.limit === 0) return `${row.title}: there is no pretension, so any load leaves a cable loose.`;
  return row.id === "clearance" || row.id === "touch"
    ? `${row.title}: ${say(row.limit)} where ${say(row.demand)} is asked for (${row.whereSays}).`
    : `${row.title}: ${say(row.demand)} against a limit of ${say(row.limit)} (${row.whereSays}).`;
}

function conditionsOf(facts: Facts, rows: readonly MarginRow[]): string[] {
  const unchecked = notCheckedHere(facts);
  const conditions = sayUnchecked(unchecked);
  for (const remark of facts.remarks) conditions.push(`To be confirmed: ${remark}${/[.?!]$/.test(remark) ? "" : "."}`);
  for (const row of rows)
    if (row.state === "warning") conditions.push(`${row.title} is at ${percent(row.use)} of its limit (${row.whereSays}).`);
  for (const row of rows) if (isDoubtful(row)) conditions.push(sayDoubtful(row));
  const fatigue = Math.min(...facts.arm.description.sections.flatMap((s) => s.rods.map((r) => r.material.fatigueStrain)));
  const strain = rows.find((row) => row.id === "strain");
  if (strain !== undefined && strain.demand > fatigue) {
    conditions.push(
      `Rod strain ${(strain.demand * 100).toFixed(2)} % passes the value for many cycles (${(fatigue * 100).toFixed(2)} %): count the entries and replace the rods.`,
    );
  }
  const last = facts.wayIn[facts.wayIn.length - 1];
  const open = (last?.loose?.tip.reduce((sum, value) => sum + value, 0) ?? 0) + (last?.rub?.tip ?? 0);
  if (open > 0 && facts.arm.description.tool.camera !== undefined) {
    conditions.push(
      `Tolerances, play and friction may shift the tip by up to ${formatQuantity(open, "length", "metric", 2)} from the planned pose: the operator trims it by the tip's camera, which must see the place.`,
    );
  }
  const band = last?.rub?.fullTip ?? 0;
  if (band > 0 && facts.limits.deadBand === undefined) {
    conditions.push(
      `Friction may hold the tool up to ${formatQuantity(band, "length", "metric", 2)} from where the cables' lengths put it when they were last moved to and fro: come to each place the way it is planned, and trim by the camera.`,
    );
  }
  conditions.push(
    ...sayLine(facts),
    ...drumConditions(facts),
    ...driveConditions(facts),
    ...zoneConditions(facts),
    ...outsideConditions(facts),
  );
  const twist = rows.find((row) => row.id === "twist");
  if (twist !== undefined && twist.demand > visibleTwist) {
    conditions.push(
      `The tip turns by ${formatQuantity(twist.demand, "angle", "metric", 2)} about its own axis under the load: the picture and the tool turn with it.`,
    );
  }
  if (facts.need.some((n) => n > 0) && facts.routeReserve === 0)
    conditions.push("The route keeps no reserve beyond the clearance asked for.");
  return conditions;
}

/** The condition that leaves nothing unchecked, first of all. */
export function sayUnchecked(unchecked: readonly string[]): string[] {
  return unchecked.length > 0 ? [`Not yet checked, to be settled before use: ${unchecked.join("; ")}.`] : [];
}

function notCheckedHere(facts: Facts): string[] {
  const list = notComputed(facts);
  const { target } = facts;
  list.push(...lookNotChecked(facts));
  if (target.kind === "heat") list.push("heat on the arm and the machine");
  else if (target.kind !== "look") list.push("tool force and stiffness at the tip");
  return list;
}

function sayTurned({ turned }: Facts): string[] {
  if (turned === undefined) return [];
  const percent = (share: number): string => `${Math.round(100 * share)} %`;
  return [
    `The arm is turned by ${Math.round((turned.roll * 180) / Math.PI)} deg in its guide before it goes in: where its cables, joints and rods are used hardest they are at ${percent(turned.to)} so, at ${percent(turned.from)} as it lies.`,
  ];
}

function assumptionsOf(facts: Facts): string[] {
  const { description } = facts.arm;
  const bare = description.sections.every((s) => s.hoses.length === 0);
  return [
    facts.arm.description.fitted === undefined
      ? "Simulated throughout: nothing here was measured."
      : "Simulated throughout: only the fitted numbers of the arm rest on measurements.",
    sayFitted(facts.arm.description),
    saySpreads(facts),
    ...(bare ? ["The arm is bare: no hose, lead or skin stiffens it."] : []),
    "Every section's slackest cable is kept at its pretension; drives hold their lengths exactly.",
    `${sayRoll(facts)}; the guide is ${facts.tube === undefined ? "straight" : "the tube's own shape"}${description.base?.compliance === undefined ? " and rigid" : ", and gives as the arm's base does"}.`,
    ...sayLoose(facts),
    ...sayFriction(facts),
    ...sayFluid(facts),
    ...assumeWarm(facts),
    ...sayTurned(facts),
    ...assumeZones(facts),
    ...assumeOutside(facts),
    ...assumeGuide(facts),
    ...assumeDrum(facts),
    assumeSurfaces(facts.bodies),
    "The arm's base comes no nearer to the exit than the guide is long.",
    ...(facts.ranges > 0
      ? [`${facts.ranges} value${facts.ranges === 1 ? " is" : "s are"} written with a range; the plan takes the nominal ones.`]
      : []),
  ];
}

/** The coefficients, and what the plan takes of them. */
function sayFriction(facts: Facts): string[] {
  if (!cablesRub(facts.arm)) return [];
  const { holeFriction, conduitFriction, conduitTurn } = facts.arm;
  const range = (values: Float64Array): string =>
    values[0] === values[2] ? `${values[1]?.toFixed(2)}` : `${values[0]?.toFixed(2)} to ${values[2]?.toFixed(2)}`;
  const conduit =
    conduitTurn > 0
      ? `, ${range(conduitFriction)} in conduits that turn by ${formatQuantity(conduitTurn, "angle", "metric", 3)} in all`
      : "; conduits that turn nowhere";
  return [
    `Cables rub with a coefficient of ${range(holeFriction)} in their holes${conduit}: shapes take the middle, margins the worst of the range, each cable sliding its own way at each hole.`,
  ];
}

/** What play and tolerances may do to the tip at the deepest, in words. */
function sayLoose(facts: Facts): string[] {
  const loose = facts.wayIn[facts.wayIn.length - 1]?.loose;
  if (loose === undefined) return [];
  const names = ["play of the joints", "play in the guide", "the port's tolerance of place and tilt"];
  const parts = names.flatMap((name, k) => {
    const move = loose.tip[k] as number;
    return move > 0 ? [`${name} by up to ${formatQuantity(move, "length", "metric", 2)}`] : [];
  });
  return parts.length === 0 ? [] : [`The tip may be moved by ${parts.join(", by ")}: every margin takes all of it, one way.`];
}

/** A margin that holds, but by less than two standard deviations of what is known of the arm. */
function isDoubtful(row: MarginRow): boolean {
  if (row.spread === undefined || !(row.state === "ok" || row.state === "warning")) return false;
  const { found, allowed, side } = readMargin(row);
  const spare = side === "at least" ? found - allowed : allowed - found;
  return Number.isFinite(spare) && !(2 * row.spread <= spare);
}

function sayDoubtful(row: MarginRow): string {
  return Number.isNaN(row.spread)
    ? `${row.title}: how far it moves with what is not known of the arm was not found (${row.whereSays}).`
    : `${row.title} holds by less than two standard deviations of what is known of the arm (${row.whereSays}).`;
}

/** Whether the arm's numbers were ever held against the real one. */
export function sayFitted({ fitted }: ArmDescription): string {
  if (fitted === undefined) return "This arm was never fitted: stiffness, effective lengths and masses are as described.";
  const told = Object.keys(fitted.spreads).join(", ").replaceAll("-", " ");
  return `This arm was fitted on ${fitted.date} to ${fitted.tables.map((table) => table.file).join(", ")}: ${told || "no value was told"}; all else is as described.`;
}

function saySpreads({ spreads }: Facts): string {
  return spreads === undefined
    ? "How far the margins may be off for what is not known of the arm is not computed: it was not fitted, and its file gives no range for modulus, stretch or effective length."
    : "Each margin's spread is one standard deviation for what is known of stiffness, stretch, effective length, and of fitted friction and play, the drives drawing what the plan says; margins that take the worst of a range still do, the range moved along, and friction and play that were not fitted count by their range alone. Masses and what a fit kept as described are in neither. Where a margin has none, its note says why.";
}

function sayFluid({ fluid }: Facts): string[] {
  if (fluid === undefined) return [];
  if (fluid === "dry") return ["Dry: no fluid lifts or drags the arm."];
  const { surface, current } = fluid;
  const density = formatQuantity(fluid.density, "density", "metric", 4);
  const speed = current === undefined ? 0 : Math.sqrt(current.velocity.reduce((sum, value) => sum + value * value, 0));
  return [
    `In a fluid of ${density}, ${surface === undefined ? "all immersed" : "up to its surface"}${fluid.within === undefined ? "" : ", in the stated box alone"}: channel, holes and gaps are flooded, ${"the tool is closed unless its density is given"}.`,
    current === undefined
      ? "The fluid stands still."
      : `A steady current of ${formatQuantity(speed, "velocity", "metric", 3)} drags the arm across it (coefficient ${current.dragCoefficient.toFixed(2)}); it neither stirs nor shakes it.`,
  ];
}

function cautionsOf(facts: Facts): string[] {
  const { target } = facts;
  return [
    "This advises; the owner's engineer decides. Local codes and licensed practice come first.",
    "Isolate and lock out the machine: locked, cold, drained, no stored pressure.",
    "Tensioned cables store energy: stand clear of them; spools, hinges and the feed are pinch points.",
    "Check the atmosphere: confined-space rules, explosive atmosphere, hot or pressurised residue, ionising radiation.",
    ...(facts.fluid === undefined || facts.fluid === "dry"
      ? []
      : ["Electrical safety under water; pumps and valves that could move the fluid locked out as well."]),
    "Count everything in and out: nothing may stay inside.",
    ...(target.kind === "heat" ? ["Hot work permit; oxygen and fuel-gas hoses checked; fire watch kept."] : []),
    ...(facts.arm.description.tool.mass > 0 ? ["The tool is a suspended load: nobody below it."] : []),
  ];
}
