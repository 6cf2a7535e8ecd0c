/** Why an arm does not go on a drum, each reason by name. */
import { type ArmModel, nameCable } from "../arm/index.ts";
import { formatQuantity } from "../base/index.ts";
import type { Coil, DrumFault, DrumModel, DrumRow, Hang, Worst } from "./model.ts";

export interface Measured {
  readonly rows: readonly DrumRow[];
  readonly hang: Hang | undefined;
  readonly width: number;
  readonly diameter: number;
  readonly longest: number | undefined;
}

export function nameFaults(model: DrumModel, coil: Coil, found: Measured): DrumFault[] {
  const { arm, request } = model;
  const faults: DrumFault[] = [];
  const add = (kind: DrumFault["kind"], says: string): void => {
    faults.push({ kind, says });
  };
  const say = (value: number, kind: "length" | "angle" | "force"): string => formatQuantity(value, kind, "metric", 3);
  const joint = worstRow(found.rows, (row) => row.joint);
  if (joint !== undefined && joint.use > 1) {
    add("joint", `Joint ${joint.span + 1} is bent by ${say(joint.value, "angle")} where its stop is at ${say(joint.limit, "angle")}.`);
  }
  const strain = worstRow(found.rows, (row) => row.strain);
  if (strain !== undefined && strain.use > 1) {
    add("strain", `A rod at joint ${strain.span + 1} is strained by ${percent(strain.value)} where ${percent(strain.limit)} is allowed.`);
  }
  for (const way of ["winding", "paying"] as const) {
    const pulls = found.rows.flatMap((row) => row[way] ?? []).filter((pull) => !Number.isNaN(pull.use));
    const worst = pulls.reduce<(typeof pulls)[number] | undefined>((a, b) => (a === undefined || b.use > a.use ? b : a), undefined);
    if (worst === undefined || worst.use <= 1) continue;
    const doing = way === "winding" ? "wound up" : "paid out";
    add(
      "cable",
      `${capital(nameCable(arm, worst.cable))} carries ${say(worst.most, "force")}, ${percent(worst.use)} of its working load, as the arm is ${doing}.`,
    );
    break;
  }
  const slack = found.rows.find((row) => row.winding.status === "slack" || row.paying?.status === "slack");
  if (slack !== undefined) add("slack", `A cable hangs loose with ${say(slack.paidOut, "length")} paid out.`);
  const lost = found.rows.filter((row) => !holds(row.winding.status) || (row.paying !== undefined && !holds(row.paying.status)));
  for (const row of lost.slice(0, 1)) {
    const status = holds(row.winding.status) ? row.paying?.status : row.winding.status;
    const why = status === "buckled" ? "the arm is unstable there" : "no balance was found";
    add("balance", `With ${say(row.paidOut, "length")} paid out ${why}${lost.length > 1 ? `, and in ${lost.length - 1} more rows` : ""}.`);
  }
  nameChannel(model, coil, found, add);
  nameLay(arm, request.drum, found, add);
  nameHang(found.hang, add);
  if (request.drum.bentBy === "drum" && request.drum.cover === undefined)
    add("lies", "The coil does not lie: the drum is to bend it, and has no cover or band that keeps it on the core.");
  return faults;
}

function holds(status: string): boolean {
  return status === "stable" || status === "slack";
}

function percent(value: number): string {
  return `${Number((100 * value).toPrecision(3))} %`;
}

/** Worst of the rows that are known. */
export function worstRow(rows: readonly DrumRow[], of: (row: DrumRow) => Worst): Worst | undefined {
  const known = rows.map(of).filter((worst) => !Number.isNaN(worst.use));
  return known.reduce<Worst | undefined>((a, b) => (a === undefined || b.use > a.use ? b : a), undefined);
}

type Add = (kind: DrumFault["kind"], says: string) => void;

/** Hoses that must not be bent so far, and a stiff thing that does not pass. */
function nameChannel({ arm, request }: DrumModel, coil: Coil, { longest }: Measured, add: Add): void {
  const radius = 1 / Math.max(...coil.curvature);
  const say = (value: number): string => formatQuantity(value, "length", "metric", 3);
  for (const [j, section] of arm.description.sections.entries()) {
    for (const hose of section.hoses) {
      if (hose.leastRadius === undefined || radius >= hose.leastRadius) continue;
      add("channel", `${hose.name} of section ${j + 1} is bent to ${say(radius)}; it may not go below ${say(hose.leastRadius)}.`);
    }
  }
  if (request.insert === undefined || longest === undefined || request.insert.length <= longest) return;
  const most = longest > 0 ? `one of ${say(longest)} would` : "none of this diameter does";
  add("channel", `A stiff piece of ${say(request.insert.length)} does not stay in the bent channel: ${most}.`);
}

function nameLay(arm: ArmModel, drum: DrumModel["request"]["drum"], found: Measured, add: Add): void {
  const say = (value: number): string => formatQuantity(value, "length", "metric", 3);
  const widest = Math.max(...arm.description.sections.map((section) => section.outerDiameter));
  const turns = Math.max(...found.rows.map((row) => row.turns));
  if (drum.lay === "helix" && turns > 1 && drum.pitch < widest) {
    add("lay", `Turns ${say(drum.pitch)} apart lie over each other: vertebrae are ${say(widest)} wide.`);
  }
  if (drum.width !== undefined && found.width > drum.width) {
    add("flange", `The coil is ${say(found.width)} wide; there are ${say(drum.width)} between the flanges.`);
  }
  if (drum.flange !== undefined && found.diameter > drum.flange) {
    add("flange", `The coil is ${say(found.diameter)} across; the flanges are ${say(drum.flange)}.`);
  }
}

function nameHang(hang: Hang | undefined, add: Add): void {
  if (hang === undefined) return;
  const say = (value: number): string => formatQuantity(value, "length", "metric", 3);
  if (hang.allowed === Number.POSITIVE_INFINITY) return;
  if (Number.isNaN(hang.off)) add("lies", "The last turn does not lie: with its own weight no balance was found.");
  else if (hang.off > hang.allowed) {
    add(
      "lies",
      `The last turn does not lie: its weight takes vertebra ${hang.vertebra} ${say(hang.off)} off, ${say(hang.allowed)} are allowed. A cover or a band would hold it.`,
    );
  }
}

/**
 * Longest stiff cylinder that stays in a channel bent to a circle: its middle rests on the inside, its ends on the outside,
 * (R - D/2 + d)^2 + (l/2)^2 = (R + D/2)^2.
 *
 * @returns 0 when it is thicker than the channel
 */
export function longestInsert(radius: number, channel: number, diameter: number): number {
  const outer = radius + channel / 2;
  const inner = radius - channel / 2 + diameter;
  return diameter >= channel ? 0 : 2 * Math.sqrt(Math.max(0, outer * outer - inner * inner));
}

function capital(text: string): string {
  return text.charAt(0).toUpperCase() + text.slice(1);
}
