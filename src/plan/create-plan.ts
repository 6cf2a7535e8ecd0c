/** Job -> everything a plan needs, made once. */
import { type ArmModel, createArm, type Section } from "../arm/index.ts";
import { type Fault, formatQuantity, InputError, refuse } from "../base/index.ts";
import { createDrum } from "../drum/index.ts";
import type { Job } from "../job/index.ts";
import { createFrameAlong } from "../math/index.ts";
import type { Route, RouteRequest } from "../path/index.ts";
import {
  type Body,
  createSpace,
  createSpaceAnswer,
  createSpaceWork,
  pickBodies,
  type SpaceModel,
  sampleSpace,
  sightSpace,
  type Target,
} from "../space/index.ts";
import { type Exit, exitOf, layLaunch } from "./lay-launch.ts";
import { listPlaces, type Places } from "./list-places.ts";
import type { PlanModel, PlanState } from "./model.ts";
import { narrowAims, seesAsked } from "./narrow-aims.ts";
import type { OfferedRoute } from "./offer-routes.ts";

/**
 * What is asked of the route, the most comfortable first: reserve beyond the job's clearance (m; the arm leaves its route by some
 * millimetres), and the share of its joints' limit that a bend may take (the rest is for load and for what sections cannot follow).
 */
const asks = [
  { reserve: 10e-3, share: 0.6 },
  { reserve: 5e-3, share: 0.65 },
  { reserve: 2e-3, share: 0.75 },
  { reserve: 0, share: 0.95 },
] as const;

/** @throws InputError when the arm or a body cannot be made, or the target is on no surface */
export function createPlan(job: Job): PlanModel {
  if (job.visits === undefined) return createOne(job);
  const targets = job.visits.flat();
  const models: PlanModel[] = [];
  const faults: Fault[] = [];
  targets.forEach((target, k) => {
    try {
      models.push(createOne({ ...job, target }, models[0]));
    } catch (error) {
      if (!(error instanceof InputError)) throw error;
      // what is wrong with the arm or a body is wrong for every target
      faults.push(...(k > 0 && error.faults.every((f) => f.code !== "job.target" && f.code !== "job.target-far") ? [] : error.faults));
    }
  });
  refuse(faults);
  const [first, ...more] = models as [PlanModel, ...PlanModel[]];
  let count = 0;
  return { ...first, job, visits: job.visits.map((choices) => choices.map(() => count++)), more };
}

/** @param before a plan of the same job to another target: what does not hang on the target is taken from it */
function createOne(job: Job, before?: PlanModel): PlanModel {
  const arm = before?.arm ?? createArm(job.arm);
  const need = Float64Array.from(job.bodies, (body) => (body.touch.kind === "never" ? job.limits.clearance : 0));
  const space = before?.space ?? createSpace(job.bodies.map((body, k) => withNeed(body, need[k] as number)));
  refuse(checkTarget(job, space));
  const exit = exitOf(job);
  const port = createFrameAlong(exit.at, exit.axis);
  const drum = job.arm.drum === undefined ? undefined : createDrum(arm, { drum: job.arm.drum });
  const launch = layLaunch(job, arm, drum, port);
  const places = seenPlaces(arm, space, job.target, listPlaces(space, job.target));
  const requests = listRequests(job, arm, exit).map((request) => withPlaces(request, places));
  const seen = places === undefined ? narrowAims(arm, space, job.target) : undefined;
  const last = requests[requests.length - 1];
  const thinnest =
    Math.min(...job.arm.sections.map((s) => s.outerDiameter), job.arm.tool.length > 0 ? job.arm.tool.diameter : Number.POSITIVE_INFINITY) /
    2;
  return {
    job,
    arm,
    space,
    need,
    port,
    ...(drum === undefined ? {} : { drum }),
    ...(launch === undefined ? {} : { launch }),
    requests,
    ...(seen === undefined ? {} : { seen: requests.map((request) => ({ ...request, ends: seen })) }),
    ...(thinnest < (last?.radius ?? 0) ? { proof: { ...(last as RouteRequest), radius: thinnest } } : {}),
  };
}

/** Of a look's patch the places that are seen as asked from the middle of its aims and stand-offs, where there are any. */
function seenPlaces(arm: ArmModel, space: SpaceModel, target: Target, places: Places | undefined): Places | undefined {
  if (places === undefined || target.kind !== "look") return places;
  const bare = sightSpace(space);
  const off = (target.standOff[0] + target.standOff[1]) / 2;
  const seen = places.places.filter((place) => {
    const viewer = [0, 1, 2].map((r) => (place[r] as number) - off * (target.direction[r] as number));
    return seesAsked(arm, bare, { ...target, place }, target.direction, viewer as unknown as readonly [number, number, number]);
  });
  return seen.length === 0 ? places : { ...places, places: seen };
}

/** Ends about every place of a patch. */
function withPlaces(request: RouteRequest, places: Places | undefined): RouteRequest {
  if (places === undefined) return request;
  const { aim, cone, standOff } = request;
  return { ...request, ends: places.places.map((target) => ({ target, aim, cone, standOff })), endsApart: places.apart };
}

/** The job's target, at the place that the route leads to where it left a choice. */
export function targetOf({ job }: Pick<PlanModel, "job">, route: Route | undefined): Target {
  return route?.place === undefined ? job.target : { ...job.target, place: route.place };
}

/** What is looked at or worked on is a surface: a place far from any is a slip of unit, placement or coordinates. */
function checkTarget(job: Job, space: SpaceModel): Fault[] {
  const { target } = job;
  const answer = createSpaceAnswer(1);
  // zones come after the bodies and have no surface
  const solid = job.bodies.filter(({ zone }) => zone === undefined);
  const seen = pickBodies(
    space,
    solid.map((body) => job.bodies.indexOf(body)),
  );
  sampleSpace(seen, Float64Array.from(target.place), 1, Number.POSITIVE_INFINITY, answer, createSpaceWork(seen));
  const body = answer.body[0] as number;
  const far = [0, 1, 2].reduce((sum, r) => sum + ((answer.closest[r] as number) - (target.place[r] as number)) ** 2, 0);
  const away = body < 0 ? 0 : Math.sqrt(far);
  const own = solid[body];
  if (target.kind !== "look" && target.kind !== "heat" && target.standOff[0] === 0 && away < 1e-3 && own?.touch.kind === "never") {
    return [
      {
        code: "job.target",
        path: "target.place",
        problem: `lies on ${own.name}, which must not be touched.`,
        hint: "Let that body be touched, free or lightly, or give a stand-off above 0.",
      },
    ];
  }
  if (away <= target.standOff[1] + target.tolerance) return [];
  return [
    {
      code: "job.target-far",
      path: "target.place",
      problem: `is ${formatQuantity(away, "length", "metric", 3)} from the nearest surface (${solid[body]?.name}).`,
      hint: "Give a place on a surface; check the units and placements of the bodies.",
    },
  ];
}

/** The body with its stand-off widened by the clearance asked for. */
function withNeed(body: Body, need: number): Body {
  return body.touch.kind === "never" ? { ...body, touch: { kind: "never", standOff: body.touch.standOff + need } } : body;
}

function listRequests(job: Job, arm: ArmModel, exit: Exit): RouteRequest[] {
  const { sections, tool } = arm.description;
  const radius = Math.max(tool.diameter, ...sections.map((s) => s.outerDiameter)) / 2;
  const full = (arm.along[arm.spans] as number) + tool.length - exit.inside;
  return asks.map(({ reserve, share }) => ({
    start: exit.at,
    startDirection: exit.axis,
    target: job.target.place,
    aim: job.target.direction,
    cone: job.target.cone,
    standOff: job.target.standOff,
    endStraight: tool.length,
    radius,
    margin: reserve,
    bendRadius: Math.max(...sections.map((s) => bendRadius(s, share))),
    length: full,
  }));
}

/**
 * Least radius a section can follow in its worst plane, with a share of its joints' limit (or of the angle at which a rod
 * passes its allowed strain). Where each hinge bends about one axis only, every second one works.
 */
export function bendRadius(section: Section, share: number): number {
  const strainAngle = Math.min(...section.rods.map((rod) => (2 * section.effectiveLength * rod.material.allowedStrain) / rod.diameter));
  const angle = share * Math.min(section.jointLimit, strainAngle);
  return ((section.alternating && section.rods.length > 1 ? 2 : 1) * section.pitch) / angle;
}

/** @param given the offered route to plan by; sought when absent */
export function createPlanState(model: PlanModel, given?: OfferedRoute): PlanState {
  return {
    ...(given === undefined ? {} : { given }),
    progress: { stage: "route", done: 0, says: `Looking for a route from ${model.job.port.name} to ${model.job.target.name}.` },
    attempt: 0,
    routeState: undefined,
    route: undefined,
    insertion: undefined,
    check: 0,
    slack: undefined,
    rolled: undefined,
    warm: undefined,
    drum: undefined,
    gains: {},
    effects: {},
    verdict: undefined,
  };
}
