/** Where an arm lies on a drum: closed forms of the helix and the spiral, span by span. */
import { type ArmModel, type Drum, type Section, turnShare } from "../arm/index.ts";
import type { Coil } from "./model.ts";

/**
 * @param roll direction of the bend about the arm's axis at the base, rad
 * @param stretch [span] axial strain of the spans; none when absent
 * @see docs/sources.md#coil
 */
export function layCoil(arm: ArmModel, drum: Drum, roll: number, stretch?: Float64Array): Coil {
  const n = arm.spans;
  const coil: Coil = {
    roll,
    distance: new Float64Array(n + 1),
    angle: new Float64Array(n + 1),
    height: new Float64Array(n + 1),
    turn: new Float64Array(n),
    direction: new Float64Array(n),
    bend: new Float64Array(2 * n),
    joint: new Float64Array(n),
    curvature: new Float64Array(n),
    base: new Float64Array(12),
  };
  const rise = drum.lay === "helix" ? drum.pitch / (2 * Math.PI) : 0;
  let direction = roll;
  coil.angle[0] = drum.start;
  coil.distance[0] = distanceAt(arm, drum, 0, 0);
  for (let i = 0; i < n; i++) {
    const turned = (coil.angle[i] as number) - drum.start;
    const here = distanceAt(arm, drum, i, turned);
    const { curvature, torsion, speed } = curveAt(drum, here, widthAt(arm, i), rise);
    const turn = turnOf(arm, i, 1 / curvature, stretch?.[i] ?? 0);
    const length = turn / curvature;
    coil.curvature[i] = curvature;
    coil.turn[i] = turn;
    coil.direction[i] = direction + 0.5 * torsion * length;
    direction += torsion * length;
    coil.angle[i + 1] = (coil.angle[i] as number) + length / speed;
    coil.height[i + 1] = (coil.height[i] as number) + (rise * length) / speed;
    coil.distance[i + 1] = distanceAt(arm, drum, Math.min(i + 1, n - 1), (coil.angle[i + 1] as number) - drum.start);
  }
  for (let i = 0; i < n; i++) bendJoint(arm, coil, i);
  placeBase(coil, rise);
  return coil;
}

function widthAt(arm: ArmModel, span: number): number {
  return (arm.description.sections[arm.sectionOfSpan[span] as number] as Section).outerDiameter;
}

/** Vertebrae touch the core with the edges of their rims; in a spiral each turn lies a vertebra further out. */
function distanceAt(arm: ArmModel, drum: Drum, span: number, turned: number): number {
  const section = arm.description.sections[arm.sectionOfSpan[span] as number] as Section;
  const half = Math.min((section.pitch - section.flexible) / 2, drum.radius);
  const first = section.outerDiameter / 2 + Math.sqrt(drum.radius * drum.radius - half * half);
  return drum.lay === "spiral" ? first + (section.outerDiameter * turned) / (2 * Math.PI) : first;
}

/** Curvature and torsion of the line at a distance from the axis, 1/m, and its length a radian about the axis, m. */
function curveAt(drum: Drum, distance: number, width: number, rise: number): { curvature: number; torsion: number; speed: number } {
  if (drum.lay === "helix") {
    const square = distance * distance + rise * rise;
    return { curvature: distance / square, torsion: rise / square, speed: Math.sqrt(square) };
  }
  // Archimedes' spiral r = r0 + g t
  const growth = width / (2 * Math.PI);
  const square = distance * distance + growth * growth;
  return { curvature: (distance * distance + 2 * growth * growth) / square ** 1.5, torsion: 0, speed: Math.sqrt(square) };
}

/**
 * Turn between two vertebrae that both lie along a circle: rigid halves along it at their centres, the flexible gap an arc between. The
 * chord of the centres is 2 R sin(t/2) = (lead + tail) cos(t/2) + l sin(t/2)/(t/2).
 */
function turnOf(arm: ArmModel, span: number, radius: number, stretch: number): number {
  const rigid = (arm.lead[span] as number) + (arm.tail[span] as number);
  const flexible = (arm.flexible[span] as number) * (1 + stretch);
  let turn = (rigid + flexible) / radius;
  for (let k = 0; k < 20; k++) {
    const h = turn / 2;
    const sinc = h < 1e-6 ? 1 : Math.sin(h) / h;
    const slope = h < 1e-6 ? 0 : (Math.cos(h) - sinc) / h;
    const off = 2 * radius * Math.sin(h) - rigid * Math.cos(h) - flexible * sinc;
    const step = off / (radius * Math.cos(h) + 0.5 * rigid * Math.sin(h) - 0.5 * flexible * slope);
    turn -= step;
    if (Math.abs(step) < 1e-14) break;
  }
  return turn;
}

/** The two hinges of a pair share the turn of both by how easily each bends about either axis. */
function bendJoint(arm: ArmModel, coil: Coil, i: number): void {
  const x = (coil.turn[i] as number) * Math.cos(coil.direction[i] as number) * turnShare(arm, i, 0);
  const y = (coil.turn[i] as number) * Math.sin(coil.direction[i] as number) * turnShare(arm, i, 1);
  coil.bend[2 * i] = x;
  coil.bend[2 * i + 1] = y;
  coil.joint[i] = Math.sqrt(x * x + y * y);
}

/** Along the line at its start, the arm's x and y turned so that the bend has its direction about them. */
function placeBase(coil: Coil, rise: number): void {
  const { base, roll } = coil;
  const a = coil.distance[0] as number;
  const angle = coil.angle[0] as number;
  const speed = Math.sqrt(a * a + rise * rise);
  const [c, s] = [Math.cos(angle), Math.sin(angle)];
  const along = [(-a * s) / speed, (a * c) / speed, rise / speed];
  const inwards = [-c, -s, 0];
  const axis = [(rise * s) / speed, (-rise * c) / speed, a / speed];
  const [p, q] = [Math.cos(roll), Math.sin(roll)];
  for (let r = 0; r < 3; r++) {
    base[3 * r] = p * (axis[r] as number) + q * (inwards[r] as number);
    base[3 * r + 1] = q * (axis[r] as number) - p * (inwards[r] as number);
    base[3 * r + 2] = along[r] as number;
  }
  base[9] = a * c;
  base[10] = a * s;
  base[11] = coil.height[0] as number;
}

/**
 * The roll at which the most bent joint is least near its stop: a quarter turn is searched, which repeats for rods and pairs alike.
 */
export function easiestRoll(arm: ArmModel, drum: Drum): number {
  let best = 0;
  let least = Number.POSITIVE_INFINITY;
  for (let k = 0; k < 12; k++) {
    const roll = (k * Math.PI) / 24;
    const { joint } = layCoil(arm, drum, roll);
    let use = 0;
    for (let i = 0; i < arm.spans; i++) {
      const { jointLimit } = arm.description.sections[arm.sectionOfSpan[i] as number] as Section;
      use = Math.max(use, (joint[i] as number) / jointLimit);
    }
    if (use < least - 1e-9) {
      least = use;
      best = roll;
    }
  }
  return best;
}
