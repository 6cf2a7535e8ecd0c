/** What was asked, under which conditions the answer holds, and what the owner of the machine must know. */
import { formatQuantity } from "../base/index.ts";
import type { Job } from "../job/index.ts";
import type { PlanResult } from "../plan/index.ts";
import type { Body, Zone } from "../space/index.ts";
import { headNotChecked, otherConditions } from "../verdict/index.ts";
import { keepUnits, type Measures, say, sayDirection, sayPlace } from "./measure.ts";
import { bullets, facts, type Page, part, table, tag } from "./page.ts";

export function tellConditions(page: Page, result: PlanResult): HTMLElement[] {
  const { verdict } = result;
  if (verdict.conditions.length === 0) return [];
  const others = otherConditions(verdict);
  // the list that is a condition stands with them; otherwise it stands with what the answer rests on
  const unchecked =
    others.length === verdict.conditions.length
      ? []
      : [tag(page, "h3", {}, headNotChecked(verdict)), bullets(page, verdict.notChecked.map(keepUnits))];
  return [part(page, "Conditions", others.length > 0 && bullets(page, others.map(keepUnits)), ...unchecked)];
}

export function tellOwner(page: Page, job: Job, result: PlanResult): HTMLElement[] {
  const { sections } = job.arm;
  const rods = [...new Set(sections.flatMap((section) => section.rods.map((rod) => rod.material.name)))];
  const cables = [...new Set(sections.map((section) => section.cable.name))];
  return [
    tag(page, "h3", {}, "Cautions"),
    bullets(page, result.verdict.cautions),
    tag(page, "h3", {}, "What comes near the machine"),
    bullets(page, [
      `Backbone rods: ${rods.join(", ")}. Cables: ${cables.join(", ")}. Tool: ${job.arm.tool.name}.`,
      "The job does not state what vertebrae, skins, tool and lubricants are made of: ask for it before entry.",
      "What breaks first when the arm jams, what pull is needed and what could stay inside was not computed.",
    ]),
  ];
}

export function tellJob(page: Page, job: Job, measures: Measures): HTMLElement[] {
  const { port, target, limits, conditions } = job;
  const tube = job.launch?.tube;
  const { length, angle } = measures;
  const gravity = Math.sqrt(conditions.gravity.reduce((sum, value) => sum + value * value, 0));
  const task = { look: "look at it", touch: "touch it", measure: "measure it", work: "work on it", heat: "heat it" }[target.kind];
  return [
    facts(page, "Port, target and limits", [
      ["Port", `${port.name}, bore ${say(port.bore, length)}, wall ${say(port.wall, length)}`],
      ["Port: place and axis", `${sayPlace(port.centre, measures)}, ${sayDirection(port.axis)}`],
      ["Port: tolerance", `${say(port.placeTolerance, length)} of place, ${say(port.tiltTolerance, angle)} of tilt`],
      [`Straight guide before the ${tube === undefined ? "port" : "tube"}`, say(job.guideLength, length)],
      ...(tube === undefined
        ? []
        : [
            [
              "Guide tube",
              `bore ${say(tube.bore, length)}, outside ${say(tube.outside, length)}; its exit within ${say(tube.placeTolerance, length)} and ${say(tube.tiltTolerance, angle)}`,
            ] as const,
          ]),
      ["Target", `${target.name}: ${task}`],
      [
        "Target: place and aim",
        `${sayPlace(target.place, measures)}, ${sayDirection(target.direction)} within ${say(target.cone, angle, 1)}`,
      ],
      [
        "Target: stand-off",
        `${say(target.standOff[0], length)} to ${say(target.standOff[1], length)}, tool point within ${say(target.tolerance, length)}`,
      ],
      ["Clearance asked for", say(limits.clearance, length)],
      ["Greatest sag and twist of the tip", `${say(limits.sag, length)}, ${say(limits.twist, angle, 1)}`],
      [
        "Gravity",
        gravity > 0
          ? `${gravity.toFixed(3)}\u00a0m/s\u00b2 along ${sayDirection(conditions.gravity.map((value) => value / gravity))}`
          : "none",
      ],
      ["Fluid", sayFluid(conditions.fluid, measures)],
      ["Temperature", sayTemperature(conditions.temperature)],
      ["Outside the port", sayOutside(job.outside, measures)],
    ]),
    table(
      page,
      "The machine: bodies and what may touch them",
      ["No.", "Body", "Shape", "Touch rule"],
      job.bodies.map((body, k) => [String(k + 1), body.name, sayShape(body, measures), sayTouch(body, measures)]),
    ),
    ...(job.zones === undefined
      ? []
      : [
          table(
            page,
            "Zones without a surface",
            ["Zone", "Shape", "What is there"],
            job.zones.map((zone) => [zone.name, sayShape(zone, measures), sayHolds(zone)]),
          ),
        ]),
  ];
}

function sayOutside(outside: Job["outside"], { length }: Measures): string {
  if (outside === undefined) return "not said";
  const s = (value: number): string => say(value, length, length.digits > 2 ? 3 : 1);
  const { stroke, regrip, gap, things } = outside;
  const carriage = stroke === undefined ? "no carriage" : `carriage of ${s(stroke)} stroke${regrip ? ", regripping" : ""}`;
  const stands = things.map(
    ({ name, size, behind, moves }) =>
      `${name} ${size.map(s).join(" by ")}, ${s(behind)} behind the guide's beginning${moves ? ", moving" : ""}`,
  );
  return [carriage, `gap ${s(gap)}`, ...stands].join("; ");
}

function sayTemperature(temperature: Job["conditions"]["temperature"]): string {
  if (temperature === undefined) return "not said";
  const say = ([low, high]: readonly [number, number]): string => {
    const one = (value: number): string => formatQuantity(value, "temperature", "metric", 4);
    return low === high ? one(low) : `${one(low)} to ${one(high)}`;
  };
  const { setUp, arm, conduit } = temperature;
  return `${say(arm)} in the machine, ${conduit === undefined ? "" : `${say(conduit)} outside, `}set up at ${say([setUp, setUp])}`;
}

function sayFluid(fluid: Job["conditions"]["fluid"], measures: Measures): string {
  if (fluid === undefined) return "not said";
  if (fluid === "dry") return "none (dry)";
  const { surface, current } = fluid;
  const flow =
    current === undefined
      ? "still"
      : `current ${current.velocity.map((value) => value.toFixed(2)).join(", ")}\u00a0m/s, drag coefficient ${current.dragCoefficient.toFixed(2)}`;
  const level = surface === undefined ? "all immersed" : `surface through ${sayPlace(surface.at, measures)}`;
  const box = fluid.within === undefined ? "" : `, in a box about ${sayPlace(fluid.within.at, measures)} alone`;
  return `${fluid.density.toFixed(0)}\u00a0kg/m\u00b3, ${level}${box}, ${flow}`;
}

function sayShape({ shape }: Pick<Body, "shape">, { length }: Measures): string {
  const s = (value: number): string => say(value, length, length.digits > 2 ? 3 : 1);
  switch (shape.kind) {
    case "mesh":
      return `mesh of ${shape.corners.length / 9} triangles, one unit of its file is ${formatQuantity(shape.unit, "length", "metric", 4)}`;
    case "bore":
      return `bore of ${shape.points.length} points, radius ${s(Math.min(...shape.points.map((p) => p.radius)))} at the least`;
    case "bend":
      return `bend of ${((shape.angle * 180) / Math.PI).toFixed(0)}\u00b0, radius ${s(shape.bendRadius)}, bore radius ${s(shape.boreRadius)}`;
    case "reducer":
      return `reducer, radius ${s(shape.radii[0])} to ${s(shape.radii[1])}, length ${s(shape.length)}`;
    case "tee":
      return `tee, run radius ${s(shape.runRadius)}, length ${s(shape.runLength)}, branch radius ${s(shape.branchRadius)}`;
    case "annulus":
      return `annulus, radius ${s(shape.innerRadius)} to ${s(shape.outerRadius)}, length ${s(shape.length)}`;
    case "sphere":
      return `sphere, radius ${s(shape.radius)}`;
    case "vanes":
      return `${shape.count} vanes, chord ${s(shape.chord)}, ${s(shape.thickness)} thick, span ${s(shape.span)}`;
    case "box":
      return `box ${shape.size.map(s).join(" by ")}`;
    case "cylinder":
      return `cylinder, radius ${s(shape.radius)}, length ${s(shape.length)}`;
    case "ring":
      return `ring, radius ${s(shape.radius)}, bar radius ${s(shape.bar)}`;
    case "plate":
      return `plate ${shape.size.map(s).join(" by ")} by ${s(shape.thickness)}, hole radius ${s(shape.holeRadius)}`;
    case "tubes":
      return `${shape.places.length} tubes, radius ${s(shape.radius)}, length ${s(shape.length)}`;
  }
}

function sayHolds({ holds }: Zone): string {
  return holds.kind === "hot"
    ? `hot: ${formatQuantity(holds.temperature, "temperature", "metric", 4)}`
    : `dose: ${formatQuantity(holds.rate, "dose-rate", "metric", 4)}`;
}

function sayTouch({ touch, zone }: Body, { length, force }: Measures): string {
  if (zone === "keep-out" && touch.kind === "never") return `no surface: kept out of, stand-off ${say(touch.standOff, length)}`;
  if (touch.kind === "free") return "free to touch";
  return touch.kind === "light" ? `light, up to ${say(touch.force, force)}` : `never, stand-off ${say(touch.standOff, length)}`;
}
