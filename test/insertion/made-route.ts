/** Routes of straights and arcs, and insertions along them, for tests. */
import { type ArmDescription, createArm } from "../../src/arm/index.ts";
import {
  createInsertionState,
  createInsertionWork,
  type InsertionModel,
  type InsertionState,
  listDepths,
  stepInsertion,
} from "../../src/insertion/index.ts";
import { createFrameAlong } from "../../src/math/index.ts";
import type { RouteCurve } from "../../src/path/index.ts";
import type { Body, SpaceModel, Target } from "../../src/space/index.ts";
import { createSpace } from "../../src/space/index.ts";

export const identity = { at: [0, 0, 0] as const, rotation: [1, 0, 0, 0, 1, 0, 0, 0, 1] };

/** Down z by `straight`, a quarter turn of `radius` towards x, then along x by `run`. */
export function bentRoute(straight: number, radius: number, run: number): RouteCurve {
  const turn = (radius * Math.PI) / 2;
  return sampleRoute(straight + turn + run, (s) => {
    if (s < straight) return [0, 0, -s, 0, 0, -1, 0];
    if (s < straight + turn) {
      const a = (s - straight) / radius;
      return [radius * (1 - Math.cos(a)), 0, -straight - radius * Math.sin(a), Math.sin(a), 0, -Math.cos(a), 1 / radius];
    }
    return [radius + s - straight - turn, 0, -straight - radius, 1, 0, 0, 0];
  });
}

export function straightRoute(length: number): RouteCurve {
  return sampleRoute(length, (s) => [0, 0, -s, 0, 0, -1, 0]);
}

function sampleRoute(length: number, at: (s: number) => number[]): RouteCurve {
  const count = Math.round(length / 1e-3) + 1;
  const curve = {
    count,
    point: new Float64Array(3 * count),
    tangent: new Float64Array(3 * count),
    arc: new Float64Array(count),
    curvature: new Float64Array(count),
    distance: new Float64Array(count),
    body: new Int32Array(count),
  };
  for (let k = 0; k < count; k++) {
    const s = (length * k) / (count - 1);
    const [x, y, z, u, v, w, c] = at(s) as [number, number, number, number, number, number, number];
    curve.arc[k] = s;
    curve.point.set([x, y, z], 3 * k);
    curve.tangent.set([u, v, w], 3 * k);
    curve.curvature[k] = c;
  }
  return curve;
}

export function insertionAlong(
  arm: ArmDescription,
  curve: RouteCurve,
  gravity: readonly [number, number, number] = [0, 0, -9.81],
  need: readonly number[] = [],
): InsertionModel {
  const k = curve.count - 1;
  const end = [0, 1, 2].map(
    (r) => (curve.point[3 * k + r] as number) + 0.04 * (curve.tangent[3 * k + r] as number),
  ) as unknown as Target["place"];
  const aim = [0, 1, 2].map((r) => curve.tangent[3 * k + r] as number) as unknown as Target["direction"];
  const model = createArm(arm);
  return {
    arm: model,
    curve,
    port: createFrameAlong([0, 0, 0], [0, 0, -1]),
    load: { gravity, forces: [] },
    need: Float64Array.from(need),
    depths: listDepths(model, curve.arc[k] as number),
    target: { name: "place", kind: "look", place: end, direction: aim, cone: 0.3, standOff: [0.02, 0.06], tolerance: 5e-3 },
  };
}

export function runInsertion(
  model: InsertionModel,
  space: SpaceModel,
  state: InsertionState = createInsertionState(model),
): InsertionState {
  const work = createInsertionWork(model, space);
  while (state.stage !== "done") stepInsertion(model, space, state, work);
  return state;
}

export function spaceOf(...bodies: Body[]): SpaceModel {
  return createSpace(bodies);
}
