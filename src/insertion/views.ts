/**
 * Which surfaces a clearance is measured to, and how: all bodies, or those that ask for some. A tool that is there to touch may come
 * near the target's own body with its end, and to that body alone.
 */
import { createSpaceAnswer, createSpaceWork, pickBodies, type SpaceModel, type SpaceWork, sampleSpace } from "../space/index.ts";
import { type HullWork, measureHull } from "./hull.ts";
import type { InsertionModel } from "./model.ts";
import { takeOffPlay } from "./take-off-play.ts";

/** Some of a space's bodies, trees shared. */
export interface View {
  readonly space: SpaceModel;
  /** [body of the view] which of all bodies it is */
  readonly bodies: Int32Array;
  readonly work: SpaceWork;
  /** samples of the tool nearer to the target's place than this do not count, m */
  readonly exclude: number;
}

export interface Views {
  readonly all: readonly View[];
  /** empty when no body asks for clearance */
  readonly asking: readonly View[];
  /** empty when nothing is there that must not be touched */
  readonly forbidden: readonly View[];
}

/** [vertebra] spare clearance and the body it is to. */
export interface Spares {
  readonly spare: Float64Array;
  readonly nearest: Int32Array;
}

/** A tool that is there to touch may come this many of its radii near the place before its hull counts. */
const touchReach = 2;

export function createViews(model: InsertionModel, space: SpaceModel): Views {
  const everything = Array.from(space.bodies.keys());
  const asking = everything.filter((k) => (model.need[k] as number) > 0);
  const forbidden = everything.filter((k) => space.bodies[k]?.touch.kind === "never");
  const views = (bodies: readonly number[]): View[] => (bodies.length === 0 ? [] : viewsOf(model, space, bodies));
  const askingViews = views(asking);
  const same = asking.length === forbidden.length && asking.every((k, n) => k === forbidden[n]);
  return { all: viewsOf(model, space, everything), asking: askingViews, forbidden: same ? askingViews : views(forbidden) };
}

function viewsOf(model: InsertionModel, space: SpaceModel, bodies: readonly number[]): View[] {
  const { target, arm } = model;
  if (target.kind === "look") return [viewOf(space, bodies, 0)];
  const own = bodyAt(space, target.place);
  return [
    viewOf(space, bodies, (touchReach * arm.description.tool.diameter) / 2),
    viewOf(
      space,
      bodies.filter((k) => k !== own),
      0,
    ),
  ];
}

function viewOf(space: SpaceModel, bodies: readonly number[], exclude: number): View {
  const part = bodies.length === space.bodies.length ? space : pickBodies(space, bodies);
  return { space: part, bodies: Int32Array.from(bodies), work: createSpaceWork(part), exclude };
}

/** The body whose surface is nearest to a place, -1 when there is none. */
function bodyAt(space: SpaceModel, place: readonly number[]): number {
  const bare = { ...space, parts: space.parts.map((part) => ({ ...part, keep: 0 })) };
  const answer = createSpaceAnswer(1);
  sampleSpace(bare, Float64Array.from(place), 1, Number.POSITIVE_INFINITY, answer, createSpaceWork(bare));
  return answer.body[0] as number;
}

/**
 * Least spare clearance over some views, what is loose taken off; undefined when there are none.
 *
 * @param frames [vertebra, 12]
 * @param back length behind the tool that its own thickness is taken to reach over, m: what it has just passed
 */
export function measureViews(
  model: InsertionModel,
  views: readonly View[],
  frames: Float64Array,
  firstFree: number,
  back: number,
  work: HullWork,
): Spares | undefined {
  if (views.length === 0) return undefined;
  const n = model.arm.spans + 1;
  const least = { spare: new Float64Array(n).fill(Number.POSITIVE_INFINITY), nearest: new Int32Array(n).fill(-1) };
  const spare = new Float64Array(n);
  const nearest = new Int32Array(n);
  for (const view of views) {
    measureHull(model.arm, view.space, frames, firstFree, model.target.place, view.exclude, back, spare, nearest, view.work, work);
    for (let i = 0; i < n; i++) {
      if (!((spare[i] as number) < (least.spare[i] as number))) continue;
      least.spare[i] = spare[i] as number;
      least.nearest[i] = (nearest[i] as number) < 0 ? -1 : (view.bodies[nearest[i] as number] as number);
    }
  }
  takeOffPlay(model, frames, firstFree, least.spare, work);
  return least;
}

/** Vertebra with the least spare clearance, and that. */
export function tightestOf(spares: Spares): { spare: number; vertebra: number } {
  let vertebra = spares.spare.length - 1;
  for (let i = 0; i < spares.spare.length; i++) if ((spares.spare[i] as number) < (spares.spare[vertebra] as number)) vertebra = i;
  return { spare: spares.spare[vertebra] as number, vertebra };
}

/** What the job asks for beside a body, m. */
export function needOf(model: InsertionModel, body: number): number {
  return body < 0 ? 0 : (model.need[body] as number);
}
