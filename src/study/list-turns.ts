/** Changes of an arm that a workshop makes first, as jobs of their own; the ones that make sense for this arm. */
import type { ArmDescription, Section } from "../arm/index.ts";
import type { Job } from "../job/index.ts";

export interface TurnJob {
  readonly says: string;
  readonly job: Job;
}

/** Spare length kept when an arm is cut, m. */
const spareLength = 0.02;

/**
 * More pretension, thicker cable, shorter, twin backbone: those that apply, in this order.
 *
 * @param reach length the arm had out at the target, m; NaN when it never got there
 */
export function listTurns(job: Job, reach: number): TurnJob[] {
  const turns: TurnJob[] = [];
  const add = (says: string, arm: ArmDescription): void => {
    turns.push({ says, job: { ...job, arm } });
  };
  add(
    job.arm.sections.every((s) => s.pretension > 0) ? "pretension up by half" : "pretension up by half, 5 N where there was none",
    eachSection(job.arm, (s) => ({ ...s, pretension: s.pretension > 0 ? s.pretension * 1.5 : 5 })),
  );
  add("cables a quarter thicker", eachSection(job.arm, thickerCable));
  const shorter = shorten(job.arm, reach);
  if (shorter !== undefined) add(`shorter: ${shorter.spans} span${shorter.spans === 1 ? "" : "s"} fewer a section`, shorter.arm);
  if (job.arm.sections.every((s) => s.rods.length === 1))
    add("twin backbone, turned by 90 degrees from vertebra to vertebra", eachSection(job.arm, twin));
  return turns;
}

function eachSection(arm: ArmDescription, change: (section: Section) => Section): ArmDescription {
  return { ...arm, sections: arm.sections.map(change) };
}

/** Area, breaking load and mass grow with the square of the diameter; the hole by as much as the cable. */
function thickerCable(section: Section): Section {
  const { cable } = section;
  const diameter = cable.diameter * 1.25;
  return {
    ...section,
    holeDiameter: section.holeDiameter + diameter - cable.diameter,
    cable: {
      ...cable,
      name: `${cable.name}, a quarter thicker`,
      diameter,
      breakingLoad: cable.breakingLoad * 1.5625,
      massPerLength: cable.massPerLength * 1.5625,
    },
  };
}

/** As many spans fewer in every section as leave the reach and a little. */
function shorten(arm: ArmDescription, reach: number): { arm: ArmDescription; spans: number } | undefined {
  const full = arm.sections.reduce((sum, s) => sum + s.spans * s.pitch, 0) + arm.tool.length;
  const perSpan = arm.sections.reduce((sum, s) => sum + s.pitch, 0);
  const spans = Math.floor((full - reach - spareLength) / perSpan);
  if (!(spans >= 1) || arm.sections.some((s) => s.spans - spans < 2)) return undefined;
  return { arm: eachSection(arm, (s) => ({ ...s, spans: s.spans - spans })), spans };
}

/** Two rods of the same stock half-way between the channel and the cables. */
function twin(section: Section): Section {
  const rod = section.rods[0] as Section["rods"][number];
  const inner = section.channelDiameter / 2;
  const outer = section.cableRadius - section.holeDiameter / 2;
  const x = (inner + outer) / 2;
  return {
    ...section,
    alternating: true,
    rods: [
      { ...rod, x: -x, y: 0 },
      { ...rod, x, y: 0 },
    ],
  };
}
