/** The arm as it was planned with. */
import type { ArmDescription, ArmModel, Section } from "../arm/index.ts";
import type { Job } from "../job/index.ts";
import { type Measures, say } from "./measure.ts";
import { facts, type Page, table, tag } from "./page.ts";

export function tellArm(page: Page, job: Job, arm: ArmModel, measures: Measures): HTMLElement[] {
  const { sections, tool } = job.arm;
  const { length, mass, angle } = measures;
  const bare = sections.every((section) => section.hoses.length === 0);
  const whole = arm.along[arm.spans]! + tool.length;
  const moving = arm.mass.reduce((sum, value) => sum + value, 0);
  return [
    tag(
      page,
      "p",
      { class: "simulated" },
      `${sayFitted(job.arm, measures)}${bare ? " It is bare: no hose, lead or skin stiffens it." : ""}`,
    ),
    facts(page, `Arm \u201c${job.arm.name}\u201d`, [
      ["Sections, vertebrae, cables (drives)", `${arm.sections}, ${arm.spans + 1}, ${arm.cables}`],
      ["Length, base to tool point", say(whole, length, 1)],
      ["Mass without the tool", say(moving, mass)],
      ["Tool", `${tool.name}: ${say(tool.mass, mass)}, diameter ${say(tool.diameter, length)}, stands out ${say(tool.length, length)}`],
      ...(tool.camera === undefined
        ? []
        : [["Camera", `field of view ${say(tool.camera.fieldOfView, angle, 1)}, ${tool.camera.pixels} pixels across`] as const]),
      ["Fitted to measurements", fittedTo(job.arm)],
      [
        "Hoses, leads and skins",
        bare ? "none: bare" : [...new Set(sections.flatMap((section) => section.hoses.map((hose) => hose.name)))].join(", "),
      ],
      ["Conduit", say(job.arm.conduitLength, length)],
      ["Play of the joints", sayPlay(job.arm, measures)],
      ["What holds the arm", sayBase(job.arm, measures)],
      ...sayDrum(job, measures),
      ["Cable design factor, strength left at the termination", `${job.arm.cableDesignFactor}, ${job.arm.terminationFactor}`],
    ]),
    table(
      page,
      "Sections from the base",
      ["Section", "Spans", `Pitch, ${length.name}`, "Rods", "Cables", "Pretension", "Working load", "Joint limit"],
      groupAlike(sections).map(({ from, to }) => {
        const section = sections[from]!;
        return [
          from === to ? `${from + 1}` : `${from + 1} to ${to + 1}`,
          String(section.spans),
          say(section.pitch, { ...length, name: "" }).trim(),
          sayRods(section, measures),
          `${section.cableAngles.length} of ${section.cable.name}`,
          say(section.pretension, measures.force),
          say(arm.workingLoad[arm.firstCable[from]!]!, measures.force),
          say(section.jointLimit, angle, 1),
        ];
      }),
      [1, 2, 5, 6, 7],
    ),
  ];
}

function sayFitted({ fitted }: ArmDescription, measures: Measures): string {
  if (fitted === undefined)
    return "This arm was never fitted: its stiffness, effective lengths, play and friction are as described, not measured.";
  const spreads = Object.entries(fitted.spreads).map(
    ([name, spread]) =>
      `${name.replaceAll("-", " ")} to ${name === "effective-length" ? say(spread, measures.length) : name === "play" ? say(spread, measures.angle) : name.endsWith("friction") ? spread.toPrecision(2) : say(spread, measures.strain)}`,
  );
  const told = spreads.length === 0 ? "The tables told none of its values." : `One standard deviation: ${spreads.join(", ")}.`;
  return [`This arm was fitted to measurements on ${fitted.date}.`, told, ...fitted.notes, "All else is as described, not measured."].join(
    " ",
  );
}

function sayPlay({ sections }: ArmDescription, { angle, length }: Measures): string {
  const loose = sections.flatMap(({ play }) => (play === undefined ? [] : [play]));
  if (loose.length === 0) return "not given";
  const most = (of: (play: NonNullable<Section["play"]>) => number): number => Math.max(...loose.map(of));
  const hole = sections.reduce(
    (all, s) => Math.max(all, s.play === undefined ? 0 : (s.play.hole?.high ?? s.holeDiameter - s.cable.diameter)),
    0,
  );
  return `up to ${say(
    most((play) => play.bend.high),
    angle,
    3,
  )} in bend and ${say(
    most((play) => play.twist.high),
    angle,
    3,
  )} in twist each; cables have ${say(hole, length)} of room in their holes`;
}

function sayBase({ base }: ArmDescription, { length }: Measures): string {
  const gives = base?.compliance?.some((value) => value !== 0) === true;
  const play = base?.guidePlay;
  const guide =
    play === undefined
      ? "play in the guide not given"
      : `${say(play.high, length)} of play in the guide over ${say(base?.guideGrip ?? 0, length)}`;
  return `${base?.compliance === undefined ? "rigid, for nothing is said of it" : gives ? "gives, by its compliance" : "rigid"}; ${guide}`;
}

function fittedTo({ fitted }: ArmDescription): string {
  return fitted === undefined ? "no" : fitted.tables.map(({ file, hash }) => `${file} (${hash})`).join(", ");
}

function sayDrum({ arm: { drum } }: Job, { length }: Measures): [string, string][] {
  if (drum === undefined) return [];
  const lay = drum.lay === "helix" ? `turns ${say(drum.pitch, length)} apart` : "turns on each other";
  return [["Drum", `core of ${say(2 * drum.radius, length)} across, ${lay}${drum.cover === undefined ? "" : ", covered"}`]];
}

/** Runs of sections that differ in nothing but their names, the places of their cables, and so a little in mass. */
function groupAlike(sections: readonly Section[]): { from: number; to: number }[] {
  const shape = (section: Section): string =>
    JSON.stringify({ ...section, name: "", vertebraMass: 0, cableAngles: section.cableAngles.length });
  const runs: { from: number; to: number }[] = [];
  sections.forEach((section, k) => {
    const run = runs[runs.length - 1];
    if (run !== undefined && shape(sections[run.from]!) === shape(section)) run.to = k;
    else runs.push({ from: k, to: k });
  });
  return runs;
}

function sayRods(section: Section, { length }: Measures): string {
  const kinds = new Map<string, number>();
  for (const rod of section.rods) {
    const kind = `${say(rod.diameter, length)} ${rod.material.name}, ${rod.attachment}`;
    kinds.set(kind, (kinds.get(kind) ?? 0) + 1);
  }
  const says = [...kinds].map(([kind, count]) => `${count} of ${kind}`).join("; ");
  return `${says}${section.alternating ? "; turned by 90\u00a0deg from vertebra to vertebra" : ""}`;
}
