/** What a walk found, as ways out from depths. */
import type { FaultEvent, Link, Outcome, Planned, Recipe, Shape, Stop, WalkState, WayFound } from "./model.ts";
import { useOf } from "./pull-out.ts";

/** Of a walk from one start. */
export function readWay(planned: readonly Planned[], walk: WalkState): WayFound {
  const { depth } = planned[walk.start] as Planned;
  return wayFrom(depth, walk.recipe, walk.shapes, walk.stops, walk.shapes[0]?.event);
}

/** Of a walk throughout: from every depth at which a fault may begin, the shallowest first. */
export function readWays(planned: readonly Planned[], walk: WalkState, stride: number): WayFound[] {
  const ways: WayFound[] = [];
  for (let k = planned.length - 1; k > 0; k -= stride) {
    const { depth } = planned[k] as Planned;
    const below = depth + 1e-9;
    const shapes = walk.shapes.filter((shape) => shape.depth <= below);
    const stops = walk.stops.filter((stop) => stop.depth <= below);
    const here = shapes[0];
    ways.push(
      wayFrom(depth, walk.recipe, shapes, stops, here !== undefined && Math.abs(here.depth - depth) < 1e-9 ? here.event : undefined),
    );
  }
  return ways.reverse();
}

function wayFrom(depth: number, by: Recipe, shapes: readonly Shape[], stops: readonly Stop[], event: FaultEvent | undefined): WayFound {
  // what a shape further on surely meets counts, whatever lies between two before it
  const stop = stops.find(({ kind }) => kind !== "between") ?? stops[0];
  // what lies beyond its stop is no part of a way
  const ended = stop?.depth ?? Number.NEGATIVE_INFINITY;
  let pull = Number.NaN;
  let pullAt = Number.NaN;
  let link: Link | undefined;
  const pressed: number[] = [];
  for (const shape of shapes) {
    if (shape.depth < ended - 1e-9) break;
    if (!(shape.pull <= pull)) [pull, pullAt] = [shape.pull, shape.depth];
    if (shape.link !== undefined && (link === undefined || useOf(shape.link) > useOf(link))) link = shape.link;
    shape.pressed.forEach((force, body) => {
      pressed[body] = Math.max(pressed[body] ?? 0, force);
    });
  }
  return {
    depth,
    outcome: outcomeOf(stop),
    by,
    ...(stop === undefined ? {} : { stop }),
    pull,
    pullAt,
    pullUse: link === undefined ? Number.NaN : useOf(link),
    ...(link === undefined ? {} : { link }),
    pressed,
    ...(event === undefined ? {} : { event }),
  };
}

function outcomeOf(stop: Stop | undefined): Outcome {
  if (stop === undefined) return "out";
  return stop.kind === "balance" || stop.kind === "between" ? "unknown" : "stuck";
}

/** The best of several ways from one depth: one that leads out; else one that leaves it open; else the last stop met. */
export function bestOf(ways: readonly WayFound[]): WayFound {
  const rank = { out: 0, unknown: 1, stuck: 2 } as const;
  return [...ways].sort((a, b) => rank[a.outcome] - rank[b.outcome])[0] as WayFound;
}
