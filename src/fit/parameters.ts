/** The parameters of an arm that can be fitted: what they start from, how far they may go, and the arm that they make. */
import type { ArmDescription, Section } from "../arm/index.ts";
import type { Quantity } from "../base/index.ts";
import type { ParameterName } from "./model.ts";

export interface Parameter {
  readonly name: ParameterName;
  /** as people call it */
  readonly title: string;
  readonly unit: "1" | "m" | "rad";
  readonly start: number;
  readonly low: number;
  readonly high: number;
  /** half the width of a central difference */
  readonly difference: number;
  /** a spread beyond this tells less than anyone knows beforehand: the tables cannot tell it */
  readonly wide: number;
}

/** The first is kept longest where two cannot be told apart. */
export const parameterNames: readonly ParameterName[] = [
  "stiffness",
  "stretch",
  "hole-friction",
  "conduit-friction",
  "effective-length",
  "play",
];

/** Values stand beside the description as it was read: factors from 1; lengths and coefficients from 0, added. */
export type ParameterValues = Readonly<Record<ParameterName, number>>;

export const untouched: ParameterValues = {
  stiffness: 1,
  stretch: 1,
  "effective-length": 0,
  "hole-friction": 0,
  "conduit-friction": 0,
  play: 0,
};

export function listParameters(description: ArmDescription): Parameter[] {
  const { sections } = description;
  // shorter than the gap no rod bends over
  const shortest = Math.max(...sections.map((s) => s.flexible - s.effectiveLength));
  const gap = Math.min(...sections.map((s) => s.effectiveLength));
  return [
    { name: "stiffness", title: "backbone stiffness", unit: "1", start: 1, low: 0.1, high: 10, difference: 2e-3, wide: 0.3 },
    { name: "stretch", title: "cable stretch", unit: "1", start: 1, low: 0.02, high: 50, difference: 5e-3, wide: 1 },
    {
      name: "effective-length",
      title: "effective length",
      unit: "m",
      start: 0,
      low: Math.min(0, shortest),
      high: 10 * gap,
      difference: 2e-3 * gap,
      wide: 0.3 * gap,
    },
    rub("hole-friction", "friction in the holes", description.friction?.holes.nominal ?? 0),
    // a conduit that turns nowhere rubs nowhere
    ...((description.friction?.conduitTurn ?? 0) > 0
      ? [rub("conduit-friction", "friction in the conduit", description.friction?.conduit.nominal ?? 0)]
      : []),
    // an arm whose file says nothing of play is taken to have none
    ...(sections.some((s) => s.play !== undefined) ? [playOf(sections)] : []),
  ];
}

function playOf(sections: readonly Section[]): Parameter {
  const least = Math.min(...sections.flatMap((s) => (s.play === undefined ? [] : [s.play.bend.nominal])));
  const stop = Math.min(...sections.map((s) => s.jointLimit));
  return { name: "play", title: "play of a joint", unit: "rad", start: 0, low: -least, high: stop, difference: 2e-4, wide: 0.02 };
}

function rub(name: ParameterName, title: string, described: number): Parameter {
  return { name, title, unit: "1", start: 0, low: -described, high: 1 - described, difference: 0.01, wide: 0.2 };
}

export function isFriction(name: ParameterName): boolean {
  return name === "hole-friction" || name === "conduit-friction";
}

export function applyParameters(description: ArmDescription, values: ParameterValues): ArmDescription {
  const { conduitStiffness, driveStiffness } = description;
  return {
    ...description,
    ...(conduitStiffness === undefined ? {} : { conduitStiffness: conduitStiffness / values.stretch }),
    ...(driveStiffness === undefined ? {} : { driveStiffness: driveStiffness / values.stretch }),
    ...rubbing(description, values),
    sections: description.sections.map(
      (section): Section => ({
        ...section,
        effectiveLength: section.effectiveLength + values["effective-length"],
        ...(section.play === undefined ? {} : { play: { ...section.play, bend: shift(section.play.bend, values.play, Math.PI) } }),
        rods: section.rods.map((rod) => ({
          ...rod,
          material: { ...rod.material, youngModulus: rod.material.youngModulus * values.stiffness },
        })),
        cable: { ...section.cable, effectiveModulus: section.cable.effectiveModulus / values.stretch },
      }),
    ),
  };
}

/** Ranges move along with their middle; a conduit that nothing is known of is taken to turn nowhere. */
function rubbing({ friction }: ArmDescription, values: ParameterValues): Pick<ArmDescription, "friction"> {
  const holes = values["hole-friction"];
  const conduit = values["conduit-friction"];
  if (holes === 0 && conduit === 0) return friction === undefined ? {} : { friction };
  const none: Quantity = { nominal: 0, low: 0, high: 0 };
  const { holes: h, conduit: c, conduitTurn } = friction ?? { holes: none, conduit: none, conduitTurn: 0 };
  return { friction: { holes: shift(h, holes), conduit: shift(c, conduit), conduitTurn } };
}

function shift({ nominal, low, high }: Quantity, by: number, most = 1): Quantity {
  const within = (value: number): number => Math.min(most, Math.max(0, value + by));
  return { nominal: within(nominal), low: within(low), high: within(high) };
}
