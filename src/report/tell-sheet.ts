/** What the arm holds, carries and does when something fails, drives locked in the deepest shape of a plan. */
import { type ArmModel, createArm, nameCable } from "../arm/index.ts";
import { formatQuantity, type UnitSystem } from "../base/index.ts";
import { createSheet, type Payload, type RetentionCase, type Sheet, type SheetModel, type SheetRamp } from "../capacity/index.ts";
import type { Job } from "../job/index.ts";
import type { PlanResult } from "../plan/index.ts";
import { type Measures, say, sayNumber, sayUse } from "./measure.ts";
import { facts, type Page, part, table, tag } from "./page.ts";
import { deepestHold } from "./tell-backbones.ts";

/** A sheet that `stepSheet` has brought to its end. */
export interface FilledSheet {
  readonly model: SheetModel;
  readonly sheet: Sheet;
}

/** Loads that a force on the tool is told at. */
const rows = 4;

/** What to ask for a plan's report; undefined where the arm did not go in at all. */
export function createPlanSheet(job: Job, result: PlanResult): SheetModel | undefined {
  const arm = createArm(job.arm);
  const hold = deepestHold(job, result, arm, "carrying");
  if (hold === undefined) return undefined;
  const { sag } = job.limits;
  const straight = new Float64Array(2 * arm.sections);
  const sent = hold.bend.every((x) => x === 0) ? {} : { sentTo: straight };
  return createSheet(arm, hold, { limits: sag === undefined ? {} : { sag }, rows, ...sent });
}

const heading = "Locked in the deepest shape";

export function tellSheet(page: Page, { model, sheet }: FilledSheet, measures: Measures, units: UnitSystem): HTMLElement {
  const { arm } = model;
  const says = (text: string): HTMLElement => tag(page, "p", {}, text);
  if (!sheet.stands) {
    const why = sheet.lock.status === "buckled" ? "the arm does not carry itself there" : "no balance was found";
    return part(
      page,
      heading,
      says(`Nothing is said of stiffness, payload and faults: ${why} without the walls that the plan may lean on.`),
    );
  }
  return part(
    page,
    heading,
    says(
      "Drives locked where the way in ends, weight and tool on; no wall holds the arm or stops it. Shapes are without friction; friction counts in the cables' uses and as a band. Simulated.",
    ),
    facts(page, "How it holds", holdFacts(model, sheet, measures, units)),
    ...sheet.ramps.map((ramp) => tellRamp(page, arm, ramp, measures)),
    ...tellFaults(page, model, sheet, measures),
  );
}

function holdFacts({ arm, damping }: SheetModel, sheet: Sheet, measures: Measures, units: UnitSystem): [string, string][] {
  const { stiffness, band, swing, payload, retention } = sheet;
  const stiff = (give: number): string => formatQuantity(1 / give, "stiffness", units, 3).replace(" ", "\u00a0");
  const seconds = (x: number): string => (Number.isFinite(x) ? `${Number(x.toPrecision(2))}\u00a0s` : "never");
  const told: [string, string][] = [];
  if (stiffness !== undefined) {
    const { along, acrossMost: soft, acrossLeast } = stiffness;
    told.push(["Tip stiffness along the tool", stiff(along.give)]);
    told.push(["Across it, softest and stiffest", `${stiff(soft.give)}, ${stiff(acrossLeast.give)}`]);
    const share = (x: number): string => `${Math.round((100 * x) / soft.give)}\u00a0%`;
    const parts = `backbone ${share(soft.backbone)}, strand in the arm ${share(soft.strandInArm)}, in the conduit ${share(soft.strandInConduit)}, conduit ${share(soft.conduit)}, drive ${share(soft.drive)}, base ${share(soft.base)}`;
    told.push(["What gives, where it is softest", parts]);
  }
  if (band !== undefined && band.shift > 0) told.push(["Friction may let the tip stand aside by", say(band.shift, measures.length)]);
  if (swing.found) {
    told.push(["First swing", `${swing.frequency.toPrecision(3)}\u00a0Hz`]);
    const range = damping.low === damping.high ? "" : `, ${damping.low} to ${damping.high}`;
    const settles = `${seconds(swing.settling)}, ${seconds(swing.settlingLeast)} to ${seconds(swing.settlingMost)}`;
    told.push([`Settled within 2\u00a0% (damped by ${damping.nominal}${range} of critical)`, settles]);
  }
  if (payload !== undefined) told.push(["More that may hang from the tool", sayPayload(arm, payload, measures)]);
  told.push(["Energy in the cables, in rods and hoses", `${joule(retention.stored)}, ${joule(retention.storedInRods)}`]);
  return told;
}

const ends: Readonly<Record<Payload["end"], string>> = {
  cable: "a cable's working load",
  stop: "a joint meets its stop",
  strain: "rod strain",
  sag: "the sag that the job allows",
  unstable: "unstable",
  unconverged: "more is not known",
  most: "more was not tried",
  "not-locked": "not known",
};

function sayEnd(arm: ArmModel, { end, at }: Pick<Payload, "end" | "at">): string {
  if (end === "cable" && at >= 0) return `${ends[end]} (${nameCable(arm, at)})`;
  if ((end === "stop" || end === "strain") && at >= 0)
    return `${ends[end]} (joint ${at + 1}, section ${(arm.sectionOfSpan[at] as number) + 1})`;
  return ends[end];
}

function sayPayload(arm: ArmModel, payload: Payload, { force }: Measures): string {
  if (payload.bound === 0) return `none, it is at a limit without: ${sayEnd(arm, payload)}`;
  return `${payload.found ? "" : "at least "}${say(payload.load, force, 2)}: ${sayEnd(arm, payload)}`;
}

const rampWords = { pressing: "Pressing ahead", dragging: "Dragged aside where it is softest" } as const;

function tellRamp(page: Page, arm: ArmModel, ramp: SheetRamp, measures: Measures): HTMLElement {
  const { length, force, angle } = measures;
  const how = ramp.follows ? "turns with the tool" : "keeps its direction";
  return table(
    page,
    `${rampWords[ramp.kind]}, a force that ${how}${ramp.end.bound === 0 ? "; at a limit without it:" : ": ends with"} ${sayEnd(arm, ramp.end)}`,
    [`Force, ${force.name}`, `Tip moved, ${length.name}`, `Tool turned, ${angle.name}`, "Worst cable", "Joint", "Strain"],
    ramp.rows.map((row) => [
      sayNumber(row.load, force, 2),
      sayNumber(row.moved, length, 1),
      sayNumber(row.turned, angle, 1),
      sayUse(row.uses.cable),
      sayUse(row.uses.stop),
      sayUse(row.uses.strain),
    ]),
    [0, 1, 2, 3, 4, 5],
  );
}

function tellFaults(page: Page, model: SheetModel, { retention }: Sheet, measures: Measures): HTMLElement[] {
  const { length } = measures;
  const stalls = retention.cases.filter((one) => one.kind === "stalled");
  const sudden = retention.cases.filter((one) => one.kind !== "stalled");
  const swing =
    model.retention.sudden === 2
      ? "twice the way, as without damping"
      : `${model.retention.sudden.toPrecision(3)} times the way, by its least damping`;
  const tables = [
    table(
      page,
      `A cable breaks, or the power goes; the first swing is ${swing}, a guide where the arm moves far`,
      [
        "What fails",
        `Tip moves, ${length.name}`,
        `Drops, ${length.name}`,
        `First swing, ${length.name}`,
        "Worst cable",
        "Joint",
        "Strain",
        "Lets go",
      ],
      sudden.map((one) => [sayFault(model.arm, one), ...numbersOf(one, [one.moved, one.drop, one.swing], measures), joule(one.lost)]),
      [1, 2, 3, 4, 5, 6, 7],
    ),
  ];
  if (stalls.length === 0) return tables;
  return [
    ...tables,
    table(
      page,
      "A drive stalls while the others straighten the arm",
      ["What fails", `Tip astray, ${length.name}`, "Worst cable", "Joint", "Strain", "First limit passed"],
      stalls.map((one) => [
        sayFault(model.arm, one),
        ...numbersOf(one, [one.stall?.astray ?? Number.NaN], measures),
        sayLimit(model.arm, one),
      ]),
      [1, 2, 3, 4],
    ),
  ];
}

function sayFault(arm: ArmModel, one: RetentionCase): string {
  const known = one.status === "stable" || one.status === "slack" ? "" : ": no rest found";
  if (one.kind === "locked") return `power, drives hold${known}`;
  if (one.kind === "released") return `power, drives run free${known}${one.leapt ? " (it leaps)" : ""}`;
  const what = one.kind === "broken" ? "cable" : "drive";
  return `${what} ${one.cable + 1} (section ${(arm.sectionOfCable[one.cable] as number) + 1})${known}${one.leapt ? " (it leaps)" : ""}`;
}

function numbersOf(one: RetentionCase, ways: readonly number[], { length }: Measures): string[] {
  if (one.status !== "stable" && one.status !== "slack") return [...ways.map(() => ""), "", "", ""];
  return [...ways.map((x) => sayNumber(x, length, 1)), sayUse(one.uses.cable), sayUse(one.uses.stop), sayUse(one.uses.strain)];
}

function sayLimit(arm: ArmModel, { stall }: RetentionCase): string {
  if (stall === undefined || stall.limit === undefined) return "none";
  return `${sayEnd(arm, { end: stall.limit, at: stall.at })}, after ${Math.round(100 * stall.share)}\u00a0% of the way`;
}

function joule(x: number): string {
  if (!Number.isFinite(x)) return "";
  return x < 1 ? `${Number((1e3 * x).toPrecision(3))}\u00a0mJ` : `${Number(x.toPrecision(3))}\u00a0J`;
}
