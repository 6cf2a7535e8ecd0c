/** Small whole jobs drawn at random from drawn bodies, and plain distances to these bodies written down apart from the project's own. */
import type { ArmDescription } from "../../src/arm/index.ts";
import type { Job } from "../../src/job/index.ts";
import type { Body, Shape, Target, TouchRule } from "../../src/space/index.ts";
import { twinArm } from "../rod/twin.ts";

const upright = [1, 0, 0, 0, 1, 0, 0, 0, 1];

type Triple = readonly [number, number, number];

/** Everything goes in along z from the origin; gravity is drawn instead. */
export function drawJob(random: () => number): Job {
  const between = (low: number, high: number): number => low + (high - low) * random();
  const pick = <T>(list: readonly T[]): T => list[Math.floor(list.length * random())] as T;
  const never: TouchRule = { kind: "never", standOff: 0 };
  const body = (name: string, shape: Shape, at: Triple = [0, 0, 0], rotation = upright, touch: TouchRule = never): Body => ({
    name,
    shape,
    placement: { at, rotation },
    touch,
  });

  const arm = drawArm(random);
  const length = arm.sections.reduce((sum, s) => sum + s.spans * s.pitch, 0) + arm.tool.length - 0.01;
  const bodies: Body[] = [];
  const hole = between(0.011, 0.02);
  const wall = between(0.004, 0.012);
  bodies.push(body("port plate", { kind: "plate", size: [0.3, 0.3], thickness: wall, holeRadius: hole }, [0, 0, -wall]));

  let end: { place: Triple; direction: Triple };
  if (random() < 0.45) {
    // a straight pipe, a bend towards anywhere, and a plate across its end
    const bore = between(0.013, 0.03);
    const radius = between(0.1, 0.2);
    const straight = between(0.01, 0.05);
    const most = Math.min(1.4, (length - straight - 0.03) / radius);
    const angle = most * between(0.2, 0.95);
    const phi = between(0, 2 * Math.PI);
    const [c, s] = [Math.cos(phi), Math.sin(phi)];
    const turned = [c, -s, 0, s, c, 0, 0, 0, 1];
    const points = [0, straight].map((z) => ({ at: [0, 0, z] as const, radius: bore, bend: 0 }));
    bodies.push(body("pipe", { kind: "bore", points }));
    bodies.push(body("bend", { kind: "bend", bendRadius: radius, boreRadius: bore, angle }, [0, 0, straight], turned));
    const across = radius * (1 - Math.cos(angle));
    const direction: Triple = [c * Math.sin(angle), s * Math.sin(angle), Math.cos(angle)];
    const off = between(0.045, 0.08);
    const place: Triple = [
      c * across + off * direction[0],
      s * across + off * direction[1],
      straight + radius * Math.sin(angle) + off * direction[2],
    ];
    // columns: across the bend's plane, in it, along the pipe
    const side: Triple = [c * Math.cos(angle), s * Math.cos(angle), -Math.sin(angle)];
    const rotation = [side[0], -s, direction[0], side[1], c, direction[1], side[2], 0, direction[2]];
    const middle = place.map((p, k) => p + 0.005 * (direction[k] as number)) as unknown as Triple;
    bodies.push(body("end", { kind: "box", size: [0.12, 0.12, 0.01] }, middle, rotation));
    end = { place, direction };
  } else {
    // a round vessel: a floor, and things in the way
    const depth = length * between(0.55, 1);
    const wide = between(0.045, 0.08);
    const place: Triple = [between(-0.025, 0.025), between(-0.025, 0.025), depth];
    bodies.push(body("floor", { kind: "box", size: [0.3, 0.3, 0.02] }, [0, 0, depth + 0.01]));
    bodies.push(body("vessel", { kind: "bore", points: [0, depth].map((z) => ({ at: [0, 0, z] as const, radius: wide, bend: 0 })) }));
    const many = Math.floor(4 * random());
    for (let i = 0; i < many; i++) {
      const at: Triple = [between(-0.06, 0.06), between(-0.06, 0.06), depth * between(0.25, 0.75)];
      const touch = random() < 0.2 ? ({ kind: "free" } as const) : never;
      const turn = between(0, Math.PI);
      const [c, s] = [Math.cos(turn), Math.sin(turn)];
      const kind = Math.floor(4 * random());
      if (kind === 0) {
        const along: Triple = [at[0] - 0.2 * c, at[1] - 0.2 * s, at[2]];
        const lying = [-s, 0, c, c, 0, s, 0, 1, 0];
        bodies.push(body(`shaft ${i}`, { kind: "cylinder", radius: between(0.004, 0.02), length: 0.4 }, along, lying, touch));
      } else if (kind === 1) bodies.push(body(`ball ${i}`, { kind: "sphere", radius: between(0.006, 0.03) }, at, upright, touch));
      else if (kind === 2) {
        const size = [between(0.01, 0.07), between(0.01, 0.07), between(0.004, 0.03)] as const;
        bodies.push(body(`block ${i}`, { kind: "box", size }, at, [c, -s, 0, s, c, 0, 0, 0, 1], touch));
      } else {
        const shape = { kind: "plate", size: [0.5, 0.5], thickness: between(0.002, 0.01), holeRadius: between(0.009, 0.035) } as const;
        bodies.push(body(`baffle ${i}`, shape, [at[0] / 3, at[1] / 3, at[2]], upright, touch));
      }
    }
    end = { place, direction: [0, 0, 1] };
  }
  const target: Target = {
    name: "place",
    kind: pick(["look", "measure"]),
    ...end,
    cone: between(0.15, 0.7),
    standOff: [0.005, between(0.02, 0.04)],
    tolerance: between(2e-3, 8e-3),
  };
  const g = 9.80665;
  return {
    name: "drawn",
    arm,
    bodies,
    port: {
      name: "port",
      centre: [0, 0, 0],
      axis: [0, 0, 1],
      bore: 2 * hole,
      wall,
      placeTolerance: pick([0, 0, 3e-4]),
      tiltTolerance: pick([0, 0, 3e-3]),
    },
    target,
    conditions: {
      gravity: pick<Triple>([
        [0, 0, g],
        [0, 0, -g],
        [g, 0, 0],
        [0, -g, 0],
      ]),
      fluid: "dry",
    },
    limits: { clearance: pick([0.5e-3, 1e-3, 2e-3]), sag: pick([0.01, 0.05]), twist: 0.3 },
    guideLength: 0.01,
    ranges: {},
    inputs: [],
    remarks: [],
  };
}

function drawArm(random: () => number): ArmDescription {
  const between = (low: number, high: number): number => low + (high - low) * random();
  const arm = twinArm({
    sections: 2 + Math.floor(3 * random()),
    spans: 4 + Math.floor(3 * random()),
    pretension: between(4, 12),
    tool: between(0.005, 0.05),
  });
  const low = between(0.03, 0.08);
  const range = { nominal: low + 0.02, low, high: low + 0.04 };
  return {
    ...arm,
    tool: { ...arm.tool, centre: [0, 0, 15e-3] },
    ...(random() < 0.5 ? { friction: { holes: range, conduit: range, conduitTurn: between(0, 1.5) } } : {}),
  };
}

/** Distance of a place from a body's surface, m, below 0 within a solid one. Elementary geometry, place by place; pipes are walls without thickness. */
export function distanceTo({ shape, placement: { at, rotation: r } }: Body, place: Triple): number {
  const d = place.map((p, k) => p - (at[k] as number)) as unknown as Triple;
  const local = [0, 1, 2].map((k) => [0, 1, 2].reduce((sum, i) => sum + (r[3 * i + k] as number) * (d[i] as number), 0));
  const [x, y, z] = local as unknown as Triple;
  const rho = Math.hypot(x, y);
  if (shape.kind === "sphere") return Math.hypot(rho, z) - shape.radius;
  if (shape.kind === "box") return solid(local.map((v, k) => Math.abs(v) - (shape.size[k] as number) / 2));
  if (shape.kind === "cylinder") return solid([rho - shape.radius, Math.abs(z - shape.length / 2) - shape.length / 2]);
  const off = (from: number, to: number): number => Math.max(from - z, z - to, 0);
  if (shape.kind === "plate") {
    if (rho < shape.holeRadius) return Math.hypot(shape.holeRadius - rho, off(0, shape.thickness));
    const half = shape.thickness / 2;
    return solid([Math.abs(x) - shape.size[0] / 2, Math.abs(y) - shape.size[1] / 2, Math.abs(z - half) - half]);
  }
  if (shape.kind === "bore") {
    const [a, b] = shape.points as unknown as readonly [(typeof shape.points)[number], (typeof shape.points)[number]];
    return Math.hypot(rho - a.radius, off(a.at[2], b.at[2]));
  }
  if (shape.kind === "bend") {
    // about the bend's own axis, which is along y through (bendRadius, 0)
    const turn = Math.atan2(z, shape.bendRadius - x);
    const out = Math.hypot(z, shape.bendRadius - x);
    const inside = turn >= 0 && turn <= shape.angle;
    if (inside) return Math.abs(Math.hypot(out - shape.bendRadius, y) - shape.boreRadius);
    // to the rim at either end
    const rim = (t: number): number => {
      const across = out * Math.cos(turn - t) - shape.bendRadius;
      const beyond = out * Math.sin(turn - t);
      return Math.hypot(Math.hypot(across, y) - shape.boreRadius, beyond);
    };
    return Math.min(rim(0), rim(shape.angle));
  }
  throw new Error(`no plain distance to a ${shape.kind}`);
}

/** From how far a place is outside each face (below 0: inside). */
function solid(over: readonly number[]): number {
  const outside = Math.hypot(...over.map((v) => Math.max(v, 0)));
  return outside > 0 ? outside : Math.max(...over);
}
