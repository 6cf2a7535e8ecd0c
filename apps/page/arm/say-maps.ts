/** Points of the maps in words. */
import type { PayloadEnd } from "../../../src/capacity/index.ts";
import type { SolveStatus } from "../../../src/rod/index.ts";
import type { BrokenCase, LimitPlace, PayloadPoint, RestPoint, StalledCase, SwingPoint } from "../../worker/index.ts";
import { type LengthUnit, sayAngle, sayForce, sayLength, sayMass, sayUse } from "../say.ts";

/** What ends a payload, as the keys of the maps call it. */
export const endWords: Readonly<Record<PayloadEnd, string>> = {
  cable: "working load of a cable",
  stop: "stop of a joint",
  strain: "strain of a rod",
  sag: "way allowed to the tool point",
  unstable: "balance lost",
  unconverged: "not known: no balance found beyond",
  most: "not known: no more was tried",
  "not-locked": "not known: no shape to begin with",
};

/** The load with its limit; `where` tells the place on the map first. */
export function sayPayload(point: PayloadPoint, where: string, unit: LengthUnit): string {
  const load = `${sayForce(point.load)} (${sayMass(point.load)})`;
  const moved = `tool point moved ${sayLength(point.uses.moved, unit)}`;
  switch (point.end) {
    case "not-locked":
      return `${where}: not known. No balance was found to lock the drives in.`;
    case "unconverged":
      return `${where}: ${load} is held; no balance was found beyond it, so its limit is not known. There: ${moved}.`;
    case "most":
      return `${where}: ${load} is held, and no more was tried.`;
    case "unstable":
      return point.bound === 0
        ? `${where}: it does not carry itself, even without a load.`
        : `${where}: ${load}, then it loses its balance. There: ${moved}.`;
    default:
      if (point.bound === 0) return `${where}: nothing. Without a load already ${limitSays(point.end, point.place)}.`;
      return `${where}: ${load}, then ${limitSays(point.end, point.place)}. There: ${moved}${sayLoose(point.slack.length)}.`;
  }
}

function sayLoose(cables: number): string {
  return cables === 0 ? "" : cables === 1 ? ", one cable loose" : `, ${cables} cables loose`;
}

function limitSays(end: PayloadEnd, place: LimitPlace | undefined): string {
  const at =
    place === undefined
      ? ""
      : place.cable === undefined
        ? `joint ${place.joint} in section ${place.section}`
        : `cable ${place.cable} (section ${place.section})`;
  if (end === "cable") return `${at} is at its working load`;
  if (end === "stop") return `${at} meets its stop`;
  if (end === "strain") return `a rod at ${at} is at its allowed strain`;
  return "the tool point has gone as far as it may";
}

/** Shorter, for tables. */
export function sayLimit(point: PayloadPoint): string {
  const { place } = point;
  const at =
    place === undefined
      ? ""
      : place.cable === undefined
        ? `, joint ${place.joint}, section ${place.section}`
        : ` ${place.cable} (section ${place.section})`;
  if (point.end === "unstable" && point.bound === 0) return "does not carry itself";
  if (point.end === "cable") return `cable${at}: working load`;
  return `${endWords[point.end]}${at}`;
}

const restWords: Readonly<Record<SolveStatus, string>> = {
  stable: "stable",
  slack: "stable, with loose cables",
  buckled: "not known: it would buckle",
  jammed: "not known: it would jam",
  "not-converged": "not known: no balance found",
};

export function sayStatus(status: SolveStatus): string {
  return restWords[status];
}

export function isKnown(status: SolveStatus): boolean {
  return status === "stable" || status === "slack";
}

export function saySag(point: RestPoint, where: string, unit: LengthUnit): string {
  if (!isKnown(point.status)) return `${where}: ${sayStatus(point.status)}.`;
  return `${where}: the tool point sags ${sayLength(point.moved, unit)}, ${sayLength(point.drop, unit)} of it down.${sayOver(point)}`;
}

export function sayTwist(point: RestPoint, where: string): string {
  if (!isKnown(point.status)) return `${where}: ${sayStatus(point.status)}.`;
  return `${where}: the tip twists ${sayAngle(Math.abs(point.twist))} about the arm.`;
}

/** A shape that lies beyond a limit of the arm is told as such. */
function sayOver({ uses }: RestPoint): string {
  const over = [
    uses.cable > 1 ? "a cable is over its working load" : "",
    uses.stop > 1 ? "a joint is beyond its stop: the vertebrae would touch, and the true shape differs" : "",
    uses.strain > 1 ? "a rod is over its allowed strain" : "",
  ].filter((one) => one !== "");
  return over.length > 0 ? ` There ${over.join("; ")}.` : "";
}

export function saySwing(point: SwingPoint, where: string): string {
  if (!point.found) return `${where}: not known. The search for a swing did not settle.`;
  const settles = Number.isFinite(point.settling)
    ? ` Settles in ${saySeconds(point.settling)} (${saySeconds(point.settlingLeast)} to ${saySeconds(point.settlingMost)}).`
    : "";
  return `${where}: first swing ${sayHertz(point.frequency)}, second ${sayHertz(point.second)}.${settles}`;
}

export function saySeconds(seconds: number): string {
  return Number.isFinite(seconds) ? `${Number(seconds.toPrecision(2))}\u202fs` : "not known";
}

export function sayHertz(hertz: number): string {
  return Number.isFinite(hertz) ? `${hertz.toPrecision(3)}\u202fHz` : "not known";
}

export function nameCase(one: BrokenCase): string {
  if (one.kind === "stalled") return `Drive ${one.cable + 1} (section ${one.section}) stalls`;
  if (one.kind === "locked") return "Power lost, drives hold";
  if (one.kind === "released") return "Power lost, drives run free";
  return `Cable ${one.cable + 1} (section ${one.section}) breaks`;
}

/** How far the tool point goes. */
export function sayFall(one: BrokenCase, unit: LengthUnit): string {
  if (!isKnown(one.status)) return sayUnknown(one);
  if (one.kind === "locked" && one.moved < 1e-6) return `${nameCase(one)}: the tool point stays where it is.`;
  const more = [
    one.leapt ? " It leaps to another shape on the way." : "",
    one.uses.stop > 1 ? " A joint is beyond its stop: the vertebrae would touch, and the true shape differs." : "",
  ];
  // an arm without any pull falls: no bound on its swing says anything
  const swing = one.kind === "released" ? "" : `; on its first swing about ${sayLength(one.swing, unit)} at most, if the motion is small`;
  return `${nameCase(one)}: the tool point moves ${sayLength(one.moved, unit)} and drops ${sayLength(one.drop, unit)}${swing}.${more.join("")}`;
}

/** Where the arm ends up when one drive stays behind. */
export function sayAstray(one: StalledCase, unit: LengthUnit): string {
  if (!isKnown(one.status)) return sayUnknown(one);
  const { stall, place } = one;
  const drop = one.drop >= 0 ? `drops ${sayLength(one.drop, unit)}` : `rises ${sayLength(-one.drop, unit)}`;
  const limit =
    stall?.limit === undefined
      ? "no limit is passed"
      : `after ${Math.round(100 * stall.share)}\u202f% of the way ${limitSays(stall.limit === "unstable" ? "sag" : stall.limit, place)}`;
  return `${nameCase(one)}: the tool point ends ${sayLength(stall?.astray ?? Number.NaN, unit)} from where it was sent and ${drop}; ${limit}.${one.leapt ? " It leaps to another shape on the way." : ""}`;
}

/** How hard it pulls, and what is stored. */
export function sayStalledPull(one: StalledCase): string {
  if (!isKnown(one.status)) return sayUnknown(one);
  const loose = one.tension.filter((tension) => tension <= 0).length;
  const own = one.tension[one.cable] as number;
  const energy = `stored: ${sayEnergy(one.stored)} in the cables, ${sayEnergy(one.storedInRods)} in rods and hoses`;
  return `${nameCase(one)}: it is left with ${sayForce(own)}, the strongest cable with ${sayUse(one.uses.cable)} of its working load${sayLoose(loose)}; ${energy}.`;
}

export function sayEnergy(joules: number): string {
  return joules < 1 ? `${Number((1000 * joules).toPrecision(3))}\u202fmJ` : `${Number(joules.toPrecision(3))}\u202fJ`;
}

/** How hard the cables that are left are pulled. */
export function sayPullLeft(one: BrokenCase): string {
  if (!isKnown(one.status)) return sayUnknown(one);
  const loose = one.tension.filter((tension, c) => tension <= 0 && c !== one.cable).length;
  const more = loose === 0 ? "" : ` ${loose === 1 ? "One other cable hangs" : `${loose} other cables hang`} loose.`;
  return `${nameCase(one)}: the strongest left ${sayUse(one.uses.cable)} of its working load at rest, ${sayUse(one.swingCable)} at most on the swing.${more}`;
}

function sayUnknown(one: BrokenCase): string {
  return `${nameCase(one)}: where it comes to rest is ${sayStatus(one.status)}.`;
}
