/** A short arm that hangs straight down a bore, and looks at its floor: a plan takes a fraction of a second. */
import type { Job } from "../../src/job/index.ts";
import { identity } from "../insertion/made-route.ts";
import { twinArm } from "../rod/twin.ts";

/** @param deep of the floor below the port, m */
export function shortJob(deep: number, change: Partial<Job> = {}): Job {
  const arm = twinArm({ sections: 2, spans: 6, pretension: 8 });
  return {
    name: "short",
    arm: { ...arm, tool: { ...arm.tool, length: 10e-3, diameter: 8e-3 } },
    bodies: [
      {
        name: "bore",
        placement: identity,
        touch: { kind: "never", standOff: 0 },
        shape: {
          kind: "bore",
          points: [
            { at: [0, 0, 0.05], radius: 0.03, bend: 0 },
            { at: [0, 0, -1], radius: 0.03, bend: 0 },
          ],
        },
      },
      {
        name: "floor",
        placement: { ...identity, at: [0, 0, -deep - 0.01] },
        touch: { kind: "free" },
        shape: { kind: "box", size: [0.05, 0.05, 0.02] },
      },
    ],
    port: { name: "port", centre: [0, 0, 0], axis: [0, 0, -1], bore: 0.05, wall: 0.01, placeTolerance: 0, tiltTolerance: 0 },
    target: {
      name: "floor",
      kind: "look",
      place: [0, 0, -deep],
      direction: [0, 0, -1],
      cone: 0.3,
      standOff: [0.04, 0.04],
      tolerance: 5e-3,
    },
    conditions: { gravity: [0, 0, -9.80665] },
    limits: { clearance: 2e-3, sag: 0.05, twist: 0.3 },
    guideLength: 0.01,
    ranges: {},
    inputs: [],
    remarks: [],
    ...change,
  };
}
