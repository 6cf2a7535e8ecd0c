/** Other routes: offered, planned by, and tried where the arm cannot follow the first. */
import { describe, expect, test } from "vitest";
import type { Job } from "../../src/job/index.ts";
import {
  createOffersState,
  createPlan,
  createPlanState,
  createPlanWork,
  type OfferedRoute,
  type PlanModel,
  type PlanResult,
  type PlanState,
  readPlan,
  stepOffers,
  stepPlan,
} from "../../src/plan/index.ts";
import type { Body, Shape } from "../../src/space/index.ts";
import { identity } from "../insertion/made-route.ts";
import { twinArm } from "../rod/twin.ts";

const lying = { at: [0.01, -0.3, -0.13] as const, rotation: [1, 0, 0, 0, 0, 1, 0, -1, 0] };

/** A small arm into a room with a shaft across its way, to look at the floor behind it. */
function roomJob(shaft: number): Job {
  const arm = twinArm({ sections: 3, spans: 8, pretension: 8 });
  const body = (name: string, shape: Shape, placement: Body["placement"]): Body => ({
    name,
    placement,
    touch: { kind: "never", standOff: 0 },
    shape,
  });
  return {
    name: "room",
    arm: { ...arm, tool: { ...arm.tool, centre: [0, 0, 15e-3] } },
    bodies: [
      { ...body("shaft", { kind: "cylinder", radius: shaft, length: 0.6 }, lying), touch: { kind: "free" } },
      body("floor", { kind: "box", size: [0.6, 0.6, 0.02] }, { ...identity, at: [0, 0, -0.31] }),
    ],
    port: { name: "port", centre: [0, 0, 0], axis: [0, 0, -1], bore: 0.05, wall: 0.01, placeTolerance: 0, tiltTolerance: 0 },
    target: {
      name: "floor",
      kind: "look",
      place: [0, 0, -0.3],
      direction: [0, 0, -1],
      cone: 0.7,
      standOff: [0.04, 0.1],
      tolerance: 5e-3,
    },
    conditions: { gravity: [0, 0, -9.80665] },
    limits: { clearance: 1e-3, sag: 0.05, twist: 0.3 },
    guideLength: 0.01,
    ranges: {},
    inputs: [],
    remarks: [],
  };
}

function offersOf(model: PlanModel): readonly OfferedRoute[] {
  const state = createOffersState();
  const work = createPlanWork(model);
  while (!state.done) stepOffers(model, 3, state, work);
  return state.offers.filter(({ route }) => route.status === "found");
}

function run(model: PlanModel, state: PlanState): PlanResult {
  const work = createPlanWork(model);
  while (state.progress.stage !== "done") stepPlan(model, state, work);
  return readPlan(model, state);
}

/** Side of the shaft's axis on which a curve passes its height. */
function sideOf({ curve }: PlanResult["route"]): number {
  const { point, count } = curve!;
  let best = 0;
  for (let i = 1; i < count; i++) if (Math.abs(point[3 * i + 2]! + 0.13) < Math.abs(point[3 * best + 2]! + 0.13)) best = i;
  return Math.sign(point[3 * best]! - 0.01);
}

describe("two ways past a shaft", { timeout: 240_000 }, () => {
  const model = createPlan(roomJob(0.012));
  const offers = offersOf(model);

  test("both are offered with what they leave to spare", () => {
    expect(offers.length).toBe(2);
    expect(offers.map(({ route }) => sideOf(route)).sort()).toEqual([-1, 1]);
    for (const { measures } of offers) {
      expect(measures!.length).toBeLessThan(0.3);
      expect(measures!.clearance).toBeGreaterThanOrEqual(0);
      expect(model.job.bodies[measures!.clearanceBody]!.name).toBe("shaft");
    }
  });

  test("the plan by the second lays the arm on it", () => {
    const result = run(model, createPlanState(model, offers[1]));
    expect(result.taken).toBe(2);
    expect(sideOf(result.route)).toBe(sideOf(offers[1]!.route));
    expect(result.wayIn.length).toBeGreaterThan(0);
  });

  test("an arm that cannot follow one is laid on the other, and the result says so", () => {
    const state = createPlanState(model);
    const work = createPlanWork(model);
    // stands in for an arm that stops on its first way
    while (state.insertion?.stage !== "out") stepPlan(model, state, work);
    state.insertion.stage = "done";
    state.insertion.failure = "The arm stopped.";
    state.progress = { stage: "way in", done: 0.5, says: "" };
    const first = sideOf(state.route!);
    const result = run(model, state);
    expect(result.routes!.map(({ came }) => came)).toEqual(["The arm stopped.", ""]);
    expect(result.taken).toBe(2);
    expect(sideOf(result.route)).toBe(-first);
    expect(result.wayOut.length).toBe(result.wayIn.length);
  });
});

describe("no route", { timeout: 240_000 }, () => {
  const open = roomJob(0.012);
  /** The shaft right over the place, which may be looked at from above alone. */
  const flat: Job = {
    ...open,
    bodies: open.bodies.map((body, k) => (k === 0 ? { ...body, placement: { ...body.placement, at: [0, -0.3, -0.215] } } : body)),
    target: { ...open.target, cone: 0.02, standOff: [0.06, 0.065] },
  };

  test("what at the target would rescue it was tried: with the same cone in the job a route is found, without it none", () => {
    const result = run(createPlan(flat), createPlanState(createPlan(flat)));
    expect(result.route.status).not.toBe("found");
    const wider = result.rescues!.find(({ says }) => says.startsWith("aims within"));
    expect(wider).toBeDefined();
    const cone = (Number.parseFloat(/within (\S+)/.exec(wider!.says)![1]!) * Math.PI) / 180;
    expect(cone).toBeCloseTo(0.02 + Math.PI / 6, 2);
    const freed = createPlan({ ...flat, target: { ...flat.target, cone: cone + 1e-3 } });
    expect(offersOf(freed).length).toBeGreaterThan(0);
  });

  test("a plate across the whole way: the widest way ends at its hole, told by its width and direction", () => {
    const touch = { kind: "free" } as const;
    const plate: Body = {
      name: "plate",
      placement: { ...identity, at: [0.01, 0, -0.1] },
      touch,
      shape: { kind: "plate", size: [0.2, 0.2], thickness: 0.01, holeRadius: 0.004 },
    };
    const points = [0.05, -0.4].map((z) => ({ at: [0, 0, z] as const, radius: 0.03, bend: 0 }));
    const bore: Body = { name: "bore", placement: identity, touch, shape: { kind: "bore", points } };
    const job: Job = { ...open, bodies: [plate, bore, ...open.bodies.slice(1)] };
    const { route } = run(createPlan(job), createPlanState(createPlan(job)));
    expect(route.status).toBe("no-passage");
    const [narrow] = route.obstacles;
    expect(narrow!.is).toBeCloseTo(0.004, 4);
    expect(Math.abs(narrow!.along![2])).toBeGreaterThan(0.9);
    const { reached, beyond } = route;
    expect(Math.hypot(reached!.at(-3)! - 0.01, reached!.at(-2)!)).toBeLessThan(2e-3);
    // it goes on from the hole to the other side of the plate
    expect(beyond!.at(-1)).toBeLessThan(-0.1);
  });
});
