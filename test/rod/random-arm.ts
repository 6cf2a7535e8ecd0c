/** Arms, loads and stances drawn at random within what people build: for tests that ask whether every answer is one. */
import { type ArmDescription, type ArmModel, checkArm, createArm, type RodMaterial, type Section } from "../../src/arm/index.ts";
import { createRandom } from "../../src/base/index.ts";
import type { Load, Stance } from "../../src/rod/index.ts";

export interface RandomCase {
  readonly arm: ArmModel;
  readonly load: Load;
  readonly stance: Stance;
  /** [section, 2] bends to hold, rad, within the joints' stops */
  readonly bend: Float64Array;
}

const nitinol: RodMaterial = {
  name: "nitinol",
  youngModulus: 60e9,
  poissonRatio: 0.33,
  density: 6450,
  allowedStrain: 0.04,
  fatigueStrain: 0.004,
};
const steel: RodMaterial = {
  name: "spring steel",
  youngModulus: 200e9,
  poissonRatio: 0.29,
  density: 7850,
  allowedStrain: 0.006,
  fatigueStrain: 0.002,
};

/** The same seed gives the same case. */
export function randomCase(seed: number): RandomCase {
  const random = createRandom(seed);
  const arm = randomModel(random);
  const gravity = random() < 0.15 ? 0 : 9.81;
  const along = (size: number): [number, number, number] => {
    const d = direction(random);
    return [size * d[0], size * d[1], size * d[2]];
  };
  const load: Load = {
    gravity: along(gravity),
    forces: Array.from({ length: Math.floor(3 * random()) }, () => ({
      vertebra: 1 + Math.floor(random() * arm.spans),
      force: along(2 * random() ** 2),
      at: [0, 0, 10e-3 * random()] as const,
    })),
    ...(random() < 0.2
      ? { following: [...along(0.02 * random()), ...along(random())] as [number, number, number, number, number, number] }
      : {}),
    ...(random() < 0.1 ? { moment: along(0.02 * random()) } : {}),
    ...(random() < 0.1 ? { toolShare: random() } : {}),
  };
  const exit = random() < 0.4 ? 0 : random() * 0.9 * (arm.along[arm.spans] as number);
  const stance: Stance = { base: randomFrame(random), exit };
  const bend = new Float64Array(2 * arm.sections);
  for (let j = 0; j < arm.sections; j++) {
    const section = arm.description.sections[j] as Section;
    // the free hinges only: a joint never asked for more than half its stop
    let free = 0;
    for (let i = arm.firstSpan[j] as number; i < (arm.firstSpan[j + 1] as number); i++) {
      free += Math.min(1, Math.max(0, ((arm.along[i] as number) + (arm.lead[i] as number) + section.flexible - exit) / section.flexible));
    }
    const size = 0.5 * random() * section.jointLimit * free * (section.alternating ? 0.5 : 1);
    const way = 2 * Math.PI * random();
    bend[2 * j] = size * Math.cos(way);
    bend[2 * j + 1] = size * Math.sin(way);
  }
  return { arm, load, stance, bend };
}

/** Drawn again while holes overlap or webs are too thin. */
function randomModel(random: () => number): ArmModel {
  for (;;) {
    const description = randomArm(random);
    if (checkArm(description).length === 0) return createArm(description);
  }
}

function randomArm(random: () => number): ArmDescription {
  const between = (a: number, b: number): number => a + (b - a) * random();
  const whole = (a: number, b: number): number => Math.floor(between(a, b + 1));
  const sections = whole(1, 6);
  const diameter = between(10e-3, 28e-3);
  const counts = Array.from({ length: sections }, () => whole(3, 6));
  const total = counts.reduce((a, b) => a + b, 0);
  const kind = random();
  const pitch = between(0.5, 1) * diameter;
  const flexible = pitch * between(0.2, 0.6);
  const rodDiameter = between(0.04, 0.075) * diameter;
  const material = random() < 0.7 ? nitinol : steel;
  // holes of all sections must find room on about one circle
  const circle = 0.42 * diameter;
  const hole = Math.min(0.9e-3, 0.4 * ((2 * Math.PI * circle) / total));
  const list = counts.map((count, j): Section => {
    const start = 2 * Math.PI * random();
    const spans = whole(2, 10);
    const at = 0.22 * diameter;
    const rods: Section["rods"] =
      kind < 0.35
        ? [{ x: 0, y: 0, diameter: rodDiameter, material, attachment: "clamped" }]
        : kind < 0.75
          ? [-at, at].map((x) => ({ x, y: 0, diameter: rodDiameter, material, attachment: "clamped" as const }))
          : // one rod in the middle carries, three around it slide
            [
              { x: 0, y: 0, diameter: rodDiameter, material, attachment: "clamped" },
              ...[0, 1, 2].map((k) => ({
                x: at * Math.cos((2 * Math.PI * k) / 3),
                y: at * Math.sin((2 * Math.PI * k) / 3),
                diameter: 0.6 * rodDiameter,
                material,
                attachment: "sliding" as const,
              })),
            ];
    return {
      name: `section ${j + 1}`,
      spans,
      pitch,
      flexible,
      effectiveLength: flexible * between(1, 1.3),
      outerDiameter: diameter,
      channelDiameter: 0,
      vertebraMass: between(0.2, 1) * 800 * diameter ** 2 * pitch,
      rods,
      alternating: kind >= 0.35 && kind < 0.75,
      hoses:
        random() < 0.3
          ? [{ name: "hose", bendingStiffness: between(0, 2e-3), torsionStiffness: between(0, 2e-3), massPerLength: between(0, 0.04) }]
          : [],
      cableAngles: Array.from({ length: count }, (_, k) => (2 * Math.PI * k) / count + start),
      cableRadius: circle * (1 - 0.12 * (j % 3)),
      holeDiameter: hole,
      cable: { name: "strand", diameter: 0.8 * hole, effectiveModulus: 73e9, breakingLoad: 220, massPerLength: 1.6e-3 },
      pretension: random() < 0.15 ? 0 : between(1, 12),
      jointLimit: between(0.1, 0.3),
    };
  });
  return {
    name: "random",
    sections: separate(list, hole),
    tool: {
      name: "tool",
      mass: random() < 0.2 ? 0 : between(0, 0.1),
      centre: [between(-3e-3, 3e-3), between(-3e-3, 3e-3), between(0, 20e-3)],
      diameter: 8e-3,
      length: 20e-3,
    },
    conduitLength: between(0, 2),
    cableDesignFactor: 3,
    terminationFactor: 0.85,
  };
}

/** Turns each section's cables until no hole lies on another. */
function separate(sections: Section[], hole: number): Section[] {
  const need = hole + 0.21e-3;
  const placed: [number, number][] = [];
  return sections.map((section) => {
    for (let turn = 0; ; turn += 0.01) {
      const angles = section.cableAngles.map((angle) => angle + turn);
      const at = angles.map((angle): [number, number] => [section.cableRadius * Math.cos(angle), section.cableRadius * Math.sin(angle)]);
      if (turn > 7 || at.every((p) => placed.every((q) => Math.hypot(p[0] - q[0], p[1] - q[1]) > need))) {
        placed.push(...at);
        return { ...section, cableAngles: angles };
      }
    }
  });
}

function direction(random: () => number): [number, number, number] {
  const z = 2 * random() - 1;
  const turn = 2 * Math.PI * random();
  const r = Math.sqrt(1 - z * z);
  return [r * Math.cos(turn), r * Math.sin(turn), z];
}

/** A frame turned and placed at random (uniform over the rotations, within a metre). */
export function randomFrame(random: () => number): Float64Array {
  return Float64Array.of(...randomTurn(random), ...[0, 1, 2].map(() => 2 * random() - 1));
}

/** [9] rotation matrix, row-major, from a random unit quaternion. */
export function randomTurn(random: () => number): number[] {
  const [u, v, w] = [random(), 2 * Math.PI * random(), 2 * Math.PI * random()];
  const [a, b, c, d] = [
    Math.sqrt(1 - u) * Math.sin(v),
    Math.sqrt(1 - u) * Math.cos(v),
    Math.sqrt(u) * Math.sin(w),
    Math.sqrt(u) * Math.cos(w),
  ];
  return [
    1 - 2 * (c * c + d * d),
    2 * (b * c - a * d),
    2 * (b * d + a * c),
    2 * (b * c + a * d),
    1 - 2 * (b * b + d * d),
    2 * (c * d - a * b),
    2 * (b * d - a * c),
    2 * (c * d + a * b),
    1 - 2 * (b * b + c * c),
  ];
}
