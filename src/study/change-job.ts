/** One kind of change of a job, by a stated size: the changes that a search for the smallest one goes through. */
import type { ArmDescription, Section } from "../arm/index.ts";
import type { ChangeKind, Job } from "../job/index.ts";

/** What is changed, and which way. Plain text, so that a search can be saved. */
export type ChangeName =
  | "longer"
  | "shorter"
  | "section more"
  | "section fewer"
  | "pretension up"
  | "pretension down"
  | "cables thicker"
  | "rods thicker"
  | "rods thinner"
  | "twin backbone"
  | "vertebrae wider"
  | "vertebrae narrower"
  | "freer aim"
  | `port ${number}`;

export interface ChangedJob {
  readonly says: string;
  readonly job: Job;
}

/** Of which kind each is; a port by its number among the others. */
export function kindOf(name: ChangeName): ChangeKind {
  return name.startsWith("port ") ? "port" : kinds[name as Exclude<ChangeName, `port ${number}`>];
}

const kinds: Readonly<Record<Exclude<ChangeName, `port ${number}`>, ChangeKind>> = {
  longer: "length",
  shorter: "length",
  "section more": "sections",
  "section fewer": "sections",
  "pretension up": "pretension",
  "pretension down": "pretension",
  "cables thicker": "cable",
  "rods thicker": "backbone",
  "rods thinner": "backbone",
  "twin backbone": "backbone",
  "vertebrae wider": "diameter",
  "vertebrae narrower": "diameter",
  "freer aim": "target",
};

/** All names, the ones a workshop does first before the others. */
export function listNames(job: Job): ChangeName[] {
  const ports = (job.otherPorts ?? []).map((_, k): ChangeName => `port ${k}`);
  return [...(Object.keys(kinds) as ChangeName[]), ...ports];
}

/** N: what half a change of pretension is counted from where there is none. */
const leastPretension = 10;

/** Size of a change that has but one: a second rod is half a new backbone. */
const twinSize = 0.5;

/**
 * Sizes that there are: `steps` of a change made of whole things (spans, sections), any number otherwise, or just one.
 *
 * The size of a change is its share of what it changes: spans of all spans, sections of all sections, newtons of the pretension, the rest of the
 * diameter; of an aim its angle as a share of a right angle; of another port its distance as a share of the arm's length; a twin backbone
 * counts as a half.
 */
export function sizesOf(job: Job, name: ChangeName): { readonly kind: "any" | "steps" | "one"; readonly unit: number } {
  const { sections } = job.arm;
  if (name === "longer" || name === "shorter") return { kind: "steps", unit: 1 / spansOf(job.arm) };
  if (name === "section more" || name === "section fewer") return { kind: "steps", unit: 1 / sections.length };
  if (name === "twin backbone") return { kind: "one", unit: twinSize };
  if (name.startsWith("port ")) {
    const other = job.otherPorts?.[Number(name.slice(5))]?.centre ?? job.port.centre;
    const far = Math.sqrt(other.reduce((sum, value, k) => sum + (value - (job.port.centre[k] as number)) ** 2, 0));
    return { kind: "one", unit: far / sections.reduce((sum, s) => sum + s.spans * s.pitch, 0) };
  }
  return { kind: "any", unit: 0 };
}

function spansOf({ sections }: ArmDescription): number {
  return sections.reduce((sum, section) => sum + section.spans, 0);
}

/** @param size as `sizesOf` counts it, > 0 @returns undefined when the arm has nothing of the kind to change, or not so much */
export function changeJob(job: Job, name: ChangeName, size: number): ChangedJob | undefined {
  const { arm } = job;
  const with_ = (says: string, changed: ArmDescription | undefined): ChangedJob | undefined =>
    changed === undefined ? undefined : { says, job: { ...job, arm: changed } };
  const percent = `${Number((100 * size).toPrecision(3))} %`;
  const count = Math.round(size / (sizesOf(job, name).unit || 1));
  switch (name) {
    case "longer":
      return with_(`longer by ${plural(count, "span")} (${lengthOf(arm, count)})`, withSpans(arm, count));
    case "shorter":
      return with_(`shorter by ${plural(count, "span")} (${lengthOf(arm, -count)})`, withSpans(arm, -count));
    case "section more":
      return with_(`${plural(count, "section")} more, like the last`, withSections(arm, count));
    case "section fewer":
      return with_(`${plural(count, "section")} fewer`, withSections(arm, -count));
    case "pretension up":
      return with_(
        `pretension up by ${percent}`,
        eachSection(arm, (s) => ({ ...s, pretension: tensed(s.pretension, size) })),
      );
    case "pretension down":
      return arm.sections.every((s) => s.pretension === 0) || size >= 1
        ? undefined
        : with_(
            `pretension down by ${percent}`,
            eachSection(arm, (s) => ({ ...s, pretension: s.pretension * (1 - size) })),
          );
    case "cables thicker":
      return with_(
        `cables thicker by ${percent}`,
        eachSection(arm, (s) => thickerCable(s, size)),
      );
    case "rods thicker":
      return with_(
        `rods thicker by ${percent}`,
        eachSection(arm, (s) => scaleRods(s, 1 + size)),
      );
    case "rods thinner":
      return size >= 1
        ? undefined
        : with_(
            `rods thinner by ${percent}`,
            eachSection(arm, (s) => scaleRods(s, 1 - size)),
          );
    case "twin backbone":
      return arm.sections.every((s) => s.rods.length === 1)
        ? with_("twin backbone, turned by 90 degrees from vertebra to vertebra", eachSection(arm, twin))
        : undefined;
    case "vertebrae wider":
      return with_(
        `vertebrae and circle of cables wider by ${percent}`,
        eachSection(arm, (s) => wider(s, size * s.outerDiameter)),
      );
    case "vertebrae narrower":
      return with_(
        `vertebrae and circle of cables narrower by ${percent}`,
        eachSection(arm, (s) => wider(s, -size * s.outerDiameter)),
      );
    case "freer aim":
      return {
        says: `aim freer by ${Number((90 * size).toPrecision(3))} deg`,
        job: { ...job, target: { ...job.target, cone: Math.min(Math.PI, job.target.cone + (size * Math.PI) / 2) } },
      };
    default: {
      const port = job.otherPorts?.[Number(name.slice(5))];
      return port === undefined ? undefined : { says: `through ${port.name}`, job: { ...job, port } };
    }
  }
}

function plural(count: number, what: string): string {
  return `${count} ${what}${count === 1 ? "" : "s"}`;
}

function eachSection(arm: ArmDescription, change: (section: Section) => Section): ArmDescription {
  return { ...arm, sections: arm.sections.map(change) };
}

/** Added one by one from the first section on, taken away from the last one back, so that none differs by more than one. */
function withSpans(arm: ArmDescription, count: number): ArmDescription | undefined {
  const { sections } = arm;
  const n = sections.length;
  const each = Math.trunc(count / n);
  const rest = Math.abs(count % n);
  const changed = sections.map((section, k) => {
    const one = (count > 0 ? k < rest : k >= n - rest) ? Math.sign(count) : 0;
    return { ...section, spans: section.spans + each + one };
  });
  return count === 0 || changed.some((section) => section.spans < 2) ? undefined : { ...arm, sections: changed };
}

function lengthOf(arm: ArmDescription, count: number): string {
  const changed = withSpans(arm, count);
  if (changed === undefined) return "0 mm";
  const by = changed.sections.reduce((sum, s, k) => sum + (s.spans - (arm.sections[k] as Section).spans) * s.pitch, 0);
  return `${Number((1e3 * Math.abs(by)).toPrecision(4))} mm`;
}

function withSections(arm: ArmDescription, count: number): ArmDescription | undefined {
  const { sections } = arm;
  if (count === 0 || sections.length + count < 1) return undefined;
  if (count < 0) return { ...arm, sections: sections.slice(0, count) };
  const last = sections[sections.length - 1] as Section;
  // holes turned on as those of the sections before are
  const before = sections[sections.length - 2];
  const turn =
    before === undefined || before.cableAngles.length === 0 ? Math.PI / 12 : (last.cableAngles[0] ?? 0) - (before.cableAngles[0] ?? 0);
  const more = Array.from(
    { length: count },
    (_, k): Section => ({
      ...last,
      name: `section ${sections.length + k + 1}`,
      cableAngles: last.cableAngles.map((angle) => angle + (k + 1) * turn),
    }),
  );
  return { ...arm, sections: [...sections, ...more] };
}

function tensed(pretension: number, size: number): number {
  return pretension > 0 ? pretension * (1 + size) : leastPretension * size;
}

/** Area, breaking load and mass grow with the square of the diameter; the hole by as much as the cable. */
function thickerCable(section: Section, size: number): Section {
  const { cable } = section;
  const square = (1 + size) ** 2;
  return {
    ...section,
    holeDiameter: section.holeDiameter + size * cable.diameter,
    cable: {
      ...cable,
      name: `${cable.name}, thicker`,
      diameter: cable.diameter * (1 + size),
      breakingLoad: cable.breakingLoad * square,
      massPerLength: cable.massPerLength * square,
    },
  };
}

function scaleRods(section: Section, by: number): Section {
  return { ...section, rods: section.rods.map((rod) => ({ ...rod, diameter: rod.diameter * by })) };
}

/** Rods and channel stay where they are; mass with the ring that is added or taken away. */
function wider(section: Section, by: number): Section {
  const outer = section.outerDiameter + by;
  const inner = section.channelDiameter;
  const share = (outer ** 2 - inner ** 2) / (section.outerDiameter ** 2 - inner ** 2);
  return {
    ...section,
    outerDiameter: outer,
    cableRadius: section.cableRadius + by / 2,
    vertebraMass: section.vertebraMass * Math.max(0, share),
  };
}

/** Two rods of the same stock half-way between the channel and the cables. */
function twin(section: Section): Section {
  const rod = section.rods[0] as Section["rods"][number];
  const x = (section.channelDiameter / 2 + section.cableRadius - section.holeDiameter / 2) / 2;
  return {
    ...section,
    alternating: true,
    rods: [
      { ...rod, x: -x, y: 0 },
      { ...rod, x, y: 0 },
    ],
  };
}
