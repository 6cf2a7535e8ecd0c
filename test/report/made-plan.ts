/**
 * A job and a plan's result made of simple shapes: an arm of six vertebrae bent to a quarter of a circle, and numbers that grow with
 * depth. Made-up data to read and write; it is no physics and stands for none.
 */
import type { ArmDescription, RodMaterial } from "../../src/arm/index.ts";
import type { DepthRecord } from "../../src/insertion/index.ts";
import type { Job } from "../../src/job/index.ts";
import type { PlanResult } from "../../src/plan/index.ts";
import type { Body, Shape } from "../../src/space/index.ts";
import type { MarginRow, Verdict } from "../../src/verdict/index.ts";

/** Names as nobody would write them, to see that they come through as text. */
export const sharp = "<b>\"pump\" & 'well'</b><script>alert(1)</script></title></style>";

const spans = 6;
const pitch = 0.02;
const toolLength = 0.01;
const cables = 6;
export const vertebrae = spans + 1;
/** Arm at full depth: a quarter of a circle of this radius, in the x-z plane, m */
export const bendRadius = (spans * pitch) / (Math.PI / 2);

const material: RodMaterial = {
  name: "made-up metal",
  youngModulus: 6e10,
  poissonRatio: 0.3,
  density: 6500,
  allowedStrain: 0.04,
  fatigueStrain: 0.004,
};

function armOf(name: string): ArmDescription {
  return {
    name,
    sections: [0, 1].map((k) => ({
      name: `section ${k + 1}`,
      spans: spans / 2,
      pitch,
      flexible: 0.004,
      effectiveLength: 0.004,
      outerDiameter: 0.016,
      channelDiameter: 0.005,
      vertebraMass: 0.002,
      rods: [-1, 1].map((side) => ({ x: 0.004 * side, y: 0, diameter: 0.001, material, attachment: "clamped" as const })),
      alternating: true,
      hoses: [],
      cableAngles: [0, 1, 2].map((c) => (2 * Math.PI * c) / 3 + (k * Math.PI) / 3 + 0.4),
      cableRadius: 0.0063,
      holeDiameter: 0.0008,
      cable: { name: "made-up strand", diameter: 0.0006, effectiveModulus: 7e10, breakingLoad: 200, massPerLength: 0.0014 },
      pretension: 6,
      jointLimit: 0.5,
    })),
    tool: { name: `probe of ${name}`, mass: 0.05, centre: [0, 0, 0.005], diameter: 0.012, length: toolLength },
    conduitLength: 0.5,
    cableDesignFactor: 2,
    terminationFactor: 0.85,
  };
}

const still = { at: [0, 0, 0] as const, rotation: [1, 0, 0, 0, 1, 0, 0, 0, 1] };

function body(name: string, shape: Shape, at: readonly [number, number, number], touch: Body["touch"] = { kind: "free" }): Body {
  return { name, shape, placement: { ...still, at }, touch };
}

/** Port at the origin looking down (-z), gravity down: the arm goes down and turns towards +x. */
export function makeJob(name = "made-up pump"): Job {
  return {
    name,
    arm: armOf(`arm of ${name}`),
    bodies: [
      body(`cover of ${name}`, { kind: "plate", size: [0.2, 0.2], thickness: 0.01, holeRadius: 0.011 }, [0, 0, 0]),
      body("block", { kind: "box", size: [0.04, 0.06, 0.02] }, [0.05, 0, -0.02], { kind: "never", standOff: 0.001 }),
      body("rail", { kind: "cylinder", radius: 0.005, length: 0.1 }, [0.12, 0.04, -0.15], { kind: "light", force: 2 }),
      body("eye", { kind: "ring", radius: 0.03, bar: 0.004 }, [0.1, 0, -0.2]),
      body("pipe", { kind: "bore", points: [{ at: [0, 0, 0], radius: 0.05, bend: 0 }, { at: [0, 0, -0.3], radius: 0.05, bend: 0 }] }, [0.05, 0, 0.05]),
      body("bundle", { kind: "tubes", radius: 0.004, length: 0.05, places: [[0, 0], [0.02, 0]] }, [0.1, -0.05, -0.2]),
      body("scan", { kind: "mesh", corners: Float64Array.of(0, 0, 0, 10, 0, 0, 0, 10, 0), unit: 1e-3 }, [0.02, 0.02, -0.1]),
    ],
    port: { name: "top port", centre: [0, 0, 0], axis: [0, 0, -1], bore: 0.022, wall: 0.01, placeTolerance: 5e-4, tiltTolerance: 4e-3 },
    target: { name: `seat of ${name}`, kind: "look", place: [bendRadius + 0.03, 0, -bendRadius], direction: [1, 0, 0], cone: 0.3, standOff: [0.01, 0.03], tolerance: 2e-3 },
    conditions: { gravity: [0, 0, -9.80665] },
    limits: { clearance: 0.0015, sag: 0.02, twist: 0.2 },
    guideLength: 0.05,
    ranges: { "arm.tool.mass": { low: 0.045, nominal: 0.05, high: 0.055 } },
    inputs: [{ file: `${name}.yaml`, hash: "0123456789abcdef" }],
    remarks: [`The unit of ${name} was guessed.`],
  }; // biome-ignore format: one body a row
}

/** Vertebra i at `depth`: those past the exit lie on the circle, the others straight above it. [12] */
function frameAt(arc: number): number[] {
  const angle = Math.max(0, arc) / bendRadius;
  const [c, s] = [Math.cos(angle), Math.sin(angle)];
  const place = arc <= 0 ? [0, 0, -arc] : [bendRadius * (1 - c), 0, -bendRadius * s];
  // z of the arm along the circle: (s, 0, -c); y across: (0, -1, 0); x = y x z = (c, 0, s)
  return [c, 0, s, 0, -1, 0, s, 0, -c, ...place];
}

export function makeRecord(depth: number): DepthRecord {
  const exit = spans * pitch + toolLength - depth;
  const frames = Array.from({ length: vertebrae }, (_, i) => frameAt(i * pitch - exit)).flat();
  const firstFree = Math.max(0, Math.ceil(exit / pitch - 1e-9));
  const end = frameAt(spans * pitch - exit);
  const fill = (count: number, value: (k: number) => number): Float64Array => Float64Array.from({ length: count }, (_, k) => value(k));
  const clearance = fill(vertebrae, (i) => (i < firstFree ? Number.POSITIVE_INFINITY : 0.004 + 0.001 * i - 0.01 * depth));
  const least = clearance[firstFree]!;
  return {
    depth, status: "stable", residual: 1e-12 * (1 + depth), iterations: 3, solves: 2, roll: 0.1 * depth, firstFree, frames: Float64Array.from(frames),
    tool: Float64Array.from([0, 1, 2], (r) => end[9 + r]! + toolLength * end[3 * r + 2]!),
    bend: fill(4, (k) => depth * (k + 1)), tension: fill(cables, (c) => 6 + 100 * depth * c), drawn: fill(cables, (c) => 1e-3 * (c - 2) * depth),
    clearance, nearest: Int32Array.from({ length: vertebrae }, (_, i) => (i < firstFree ? -1 : 1)), spare: least - 0.0015, tightest: firstFree, leastClearance: least,
    swept: clearance.map((value) => value - 1e-4), sweptNearest: Int32Array.from({ length: vertebrae }, (_, i) => (i < firstFree ? -1 : 1)), sweptSpare: least - 0.0016, seenSpare: least - 0.0015, settled: true, askedSeen: least, asked: least - 1e-4, askedVertebra: vertebrae - 1, askedBody: 1,
    sideways: 1e-4, jointAngle: fill(spans, () => pitch / bendRadius), strain: fill(spans, () => 0.01 * depth), stress: fill(spans, () => 6e8 * depth),
    twist: fill(vertebrae, (i) => 1e-3 * i * depth), sag: 0.1 * depth * depth, deviation: [1e-4, 2e-4], inherent: [0.5e-4, 1.5e-4],
  }; // biome-ignore format: a record to scan
}

export const depths = [0.04, 0.07, 0.1, 0.13];

export function makeRow(id: string, use: number, more: Partial<MarginRow> = {}): MarginRow {
  const state = Number.isNaN(use) ? "unknown" : use > 1 ? "over" : use > 0.8 ? "warning" : "ok";
  return {
    id,
    title: `Margin ${id}`,
    demand: use,
    limit: 1,
    unit: "N",
    use,
    warnAbove: 0.8,
    state,
    where: { way: "in", depth: 0.1 },
    whereSays: `way in, at ${id}`,
    gains: [],
    ...more,
  };
}

export function makeVerdict(rows: readonly MarginRow[], name = "made-up pump"): Verdict {
  return {
    answer: "go with conditions", says: `All margins of ${name} hold.`, reasons: [], rows, conditions: [`Condition of ${name}.`], notChecked: ["friction of made-up cables"],
    assumptions: ["Simulated throughout."], cautions: ["Lock out the made-up machine."],
  }; // biome-ignore format: a verdict to scan
}

export function makePlan(job = makeJob()): PlanResult {
  const n = 40;
  const curve = {
    count: n, point: new Float64Array(3 * n), tangent: new Float64Array(3 * n), arc: new Float64Array(n), curvature: new Float64Array(n).fill(1 / bendRadius),
    distance: Float64Array.from({ length: n }, (_, k) => 0.012 + 0.001 * Math.abs(k - 20)), body: new Int32Array(n).fill(1),
  }; // biome-ignore format: a curve to scan
  for (let k = 0; k < n; k++) {
    const arc = (0.13 * k) / (n - 1);
    const frame = frameAt(arc);
    curve.arc[k] = arc;
    for (let r = 0; r < 3; r++) {
      curve.point[3 * k + r] = frame[9 + r]!;
      curve.tangent[3 * k + r] = frame[3 * r + 2]!;
    }
  }
  const rows = [
    makeRow("slack", Number.NaN, { note: `about ${job.name}` }),
    makeRow("touch", Number.POSITIVE_INFINITY, { limit: 0, unit: "m" }),
    makeRow("clearance", 0.9, {
      demand: 0.0015,
      limit: 0.0015 / 0.9,
      unit: "m",
      where: { way: "in", depth: 0.13, body: 1, vertebra: 3, place: [0.02, 0, -0.05] },
    }),
    makeRow("strain", 0.5, {
      unit: "1",
      gains: [
        { says: `thinner rods for ${job.name}`, from: "estimated" },
        { says: "shorter", from: "planned" },
      ],
    }),
    makeRow("joint", 0.3, { unit: "rad" }),
    makeRow("stress", 0.2, { unit: "Pa", demand: 2e8, limit: 1e9 }),
    makeRow("payload", 0.1, { unit: "kg" }),
  ];
  return {
    version: 1,
    withy: "0.0.0",
    job: job.name,
    arm: job.arm.name,
    inputs: job.inputs,
    route: { status: "found", curve, obstacles: [], resolution: 5e-4 },
    wayIn: depths.map(makeRecord),
    wayOut: [...depths].reverse().map(makeRecord),
    sweep: { allowance: 1e-4, confirmed: 3 },
    verdict: makeVerdict(rows, job.name),
    turns: [
      {
        says: `more pretension for ${job.name}`,
        answer: "go with conditions",
        uses: { clearance: 0.85, slack: Number.NaN },
        tightest: "Clearance",
      },
    ],
    sought: {
      found: { says: "rods thicker by 5 %", answer: "go with conditions", uses: { clearance: 0.9 }, tightest: "Clearance", size: 0.05 },
      leftOut: [{ says: "pretension down", why: "slack would not gain by it" }],
    },
  };
}

/** No way through: nothing was laid, the curve is the best attempt. */
export function makeBlocked(job = makeJob()): PlanResult {
  const { route, turns, sought, ...rest } = makePlan(job);
  void turns;
  void sought;
  const says = `The narrowest passage of ${job.name} is 7 mm.`;
  return {
    ...rest,
    route: {
      ...route,
      status: "no-passage",
      obstacles: [{ kind: "narrow", place: [0.05, 0, -0.1], is: 0.007, needed: 0.008, body: 1, says }],
    },
    wayIn: [],
    wayOut: [],
    verdict: {
      ...makeVerdict([makeRow("reach", 0.5, { unit: "m" })], job.name),
      answer: "no go",
      says: "No way through for a body this thick.",
      reasons: [says],
      conditions: [],
    },
  };
}
