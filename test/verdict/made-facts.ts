/** Facts made by hand for the verdict: a straight arm of six vertebrae, every number chosen so that a margin can be worked out on paper. */
import { createArm } from "../../src/arm/index.ts";
import type { DepthRecord } from "../../src/insertion/index.ts";
import type { Route } from "../../src/path/index.ts";
import type { Body } from "../../src/space/index.ts";
import type { Facts } from "../../src/verdict/index.ts";
import { identity } from "../insertion/made-route.ts";
import { twinArm } from "../rod/twin.ts";

/** Two sections of three spans of 10 mm and a tool of 30 mm: 90 mm; cables break at 220 N: 220 x 0.85 / 3 = 62.33 N may be used. */
export const arm = createArm(twinArm({ sections: 2, spans: 3, pretension: 8 }));

export function body(name: string, touch: Body["touch"]): Body {
  return { name, touch, placement: identity, shape: { kind: "box", size: [1, 1, 1] } };
}

/** The arm straight along z, out by 72 mm, nothing within reach, at rest. */
export function record(change: Partial<DepthRecord> = {}): DepthRecord {
  const n = arm.spans;
  const frames = Float64Array.from(Array.from({ length: n + 1 }, (_, i) => [1, 0, 0, 0, 1, 0, 0, 0, 1, 0, 0, 0.01 * i - 0.018]).flat());
  return {
    depth: 0.072,
    status: "stable",
    residual: 0,
    iterations: 1,
    solves: 1,
    settled: true,
    roll: 0,
    firstFree: 2,
    frames,
    tool: Float64Array.of(0, 0, 0.072),
    bend: new Float64Array(2 * arm.sections),
    tension: new Float64Array(arm.cables).fill(8),
    drawn: new Float64Array(arm.cables),
    clearance: new Float64Array(n + 1).fill(0.08),
    nearest: new Int32Array(n + 1).fill(-1),
    spare: 0.08,
    tightest: n,
    leastClearance: 0.08,
    swept: new Float64Array(n + 1).fill(0.08),
    sweptNearest: new Int32Array(n + 1).fill(-1),
    sweptSpare: 0.08,
    seenSpare: 0.08,
    asked: 0.08,
    askedSeen: 0.08,
    askedVertebra: -1,
    askedBody: -1,
    sideways: 0,
    jointAngle: new Float64Array(n),
    strain: new Float64Array(n),
    stress: new Float64Array(n),
    twist: new Float64Array(n + 1),
    sag: 0,
    deviation: [0, 0],
    inherent: [0.1e-3, 0.3e-3],
    ...change,
  };
}

const found: Route = { status: "found", obstacles: [], resolution: 1e-3 };

/** Everything well within its limit: the tool point 40 mm before a place straight ahead. */
export function facts(change: Partial<Facts> = {}): Facts {
  return {
    arm,
    bodies: [body("wall", { kind: "never", standOff: 0 })],
    need: Float64Array.of(2e-3),
    port: { name: "port", centre: [0, 0, 0], axis: [0, 0, 1], bore: 0.02, wall: 0, placeTolerance: 0, tiltTolerance: 0 },
    target: {
      name: "weld",
      kind: "look",
      place: [0, 0, 0.112],
      direction: [0, 0, 1],
      cone: 0.1,
      standOff: [0.03, 0.05],
      tolerance: 5e-3,
    },
    limits: { clearance: 2e-3, sag: 0.02, twist: 0.25 },
    remarks: [],
    ranges: 0,
    fluid: undefined,
    guideLength: 0,
    route: found,
    routeReserve: 5e-3,
    wayIn: [record()],
    wayOut: [record()],
    failure: "",
    branchGap: { shape: 0, tension: 0, depth: 0.072, explained: 0 },
    slack: { least: 8, cable: 0, roll: 0 },
    gains: {},
    ...change,
  };
}
