/** What is wrong with the dimensions of bodies, found before any of them is made. */
import { type Fault, formatQuantity } from "../base/index.ts";
import { cutAt, straightAngle, turnAt } from "./bore.ts";
import { checkPipe } from "./check-pipe.ts";
import { checkVanes } from "./check-vanes.ts";
import type { Body, BoreShape, MeshShape, TubeBundleShape } from "./description.ts";
import { findOpenings, sideOfPieces } from "./find-openings.ts";
import { isPipe } from "./lay-pipe.ts";

export type Add = (field: string, problem: string, hint: string) => void;

/** @returns every fault; the path of each is `bodies[k].field`, its problem names the body */
export function checkBodies(bodies: readonly Body[]): Fault[] {
  const faults: Fault[] = [];
  const names = new Map<string, number>();
  bodies.forEach((body, k) => {
    const report =
      (code: Fault["code"]): Add =>
      (field, problem, hint) => {
        faults.push({ code, path: `bodies[${k}].${field}`, problem: `(${body.name}) ${problem}`, hint });
      };
    const first = names.get(body.name);
    if (first === undefined) names.set(body.name, k);
    else report("space.name")("name", `is that of body ${first + 1} too.`, "Give each body a name of its own.");
    checkPlacement(body, report("space.placement"));
    checkShape(body, report(body.shape.kind === "mesh" ? "space.mesh" : "space.dimension"));
    const { touch } = body;
    if (touch.kind === "never" && !(touch.standOff >= 0 && touch.standOff < Infinity))
      report("space.dimension")("touch.standOff", `is ${say(touch.standOff)}.`, "Give a stand-off of 0 or more.");
    if (touch.kind === "light" && !(touch.force >= 0 && touch.force < Infinity))
      report("space.dimension")("touch.force", `is ${formatQuantity(touch.force, "force", "metric")}.`, "Give a force of 0 or more.");
  });
  // how walls meet can be told of sound bodies alone
  if (faults.length === 0) bodies.forEach((_, k) => faults.push(...checkJoins(bodies, k)));
  return faults;
}

/** A pair of pipes is told of once, at the body that names the other. */
function checkJoins(bodies: readonly Body[], k: number): Fault[] {
  const body = bodies[k]!;
  const faults: Fault[] = [];
  const add = (field: string, problem: string, hint: string): void => {
    faults.push({ code: "space.join", path: `bodies[${k}].${field}`, problem: `(${body.name}) ${problem}`, hint });
  };
  const joins = body.joins ?? [];
  joins.forEach((name, i) => {
    if (name === body.name) add(`joins[${i}]`, "is its own name.", "Name the other pipe.");
    else if (!bodies.some((other) => other.name === name))
      add(`joins[${i}]`, `is ${name}, and no body has that name.`, "Name another body.");
    else if (!isPipe(body.shape))
      add(`joins[${i}]`, "is given for what is no pipe.", "Give joins to a bore, bend, reducer, tee or annulus.");
  });
  if (faults.length > 0) return faults;
  const found = findOpenings(bodies, k);
  for (const fault of found.faults) {
    const i = joins.indexOf(fault.with);
    if (fault.with === "")
      add("branchRadius", fault.problem, "Give a thinner or longer branch, a longer run, or an angle nearer to 90 deg.");
    else if (i >= 0)
      add(
        `joins[${i}]`,
        `is ${fault.with}, which ${fault.problem}`,
        "Let one pipe end within the other, or pass through it, thinner than it, through its wall and all round; or take the name away.",
      );
  }
  // one opening that runs into another would leave a rim without wall
  found.openings.forEach((opening, a) => {
    found.openings.forEach((other, b) => {
      if (a === b || opening.pieces[1] <= other.pieces[0] || other.pieces[1] <= opening.pieces[0]) return;
      if (a < b && opening.rims.some(({ points }) => reaches(points, other.within)))
        add("joins", "has two openings that run into each other.", "Move them apart.");
    });
  });
  return faults;
}

function reaches(points: Float64Array, within: Float64Array): boolean {
  const w = new Float64Array(4);
  for (let k = 0; k < points.length; k += 3) {
    w.set(points.subarray(k, k + 3));
    sideOfPieces(within, w);
    if (w[3]! < -1e-9) return true;
  }
  return false;
}

/** No machine is larger; beyond it the distances would lose the micrometres. m */
const farthest = 1e4;

function checkPlacement({ placement }: Body, add: Add): void {
  const { at, rotation: r } = placement;
  if (at.length !== 3 || !at.every(Number.isFinite)) add("placement.at", `is [${at.join(", ")}].`, "Give three finite lengths.");
  else if (at.some((value) => Math.abs(value) > farthest))
    add("placement.at", `is ${at.map(say).join(", ")}.`, `Give a place within ${say(farthest)} of the world's origin; check the units.`);
  if (r.length !== 9 || !r.every(Number.isFinite)) {
    add("placement.rotation", `is [${r.join(", ")}].`, "Give the nine finite numbers of a rotation, row by row.");
    return;
  }
  let off = 0;
  for (let i = 0; i < 3; i++) {
    for (let j = 0; j < 3; j++) {
      off = Math.max(
        off,
        Math.abs(r[3 * i]! * r[3 * j]! + r[3 * i + 1]! * r[3 * j + 1]! + r[3 * i + 2]! * r[3 * j + 2]! - (i === j ? 1 : 0)),
      );
    }
  }
  const turn = r[0]! * (r[4]! * r[8]! - r[5]! * r[7]!) - r[1]! * (r[3]! * r[8]! - r[5]! * r[6]!) + r[2]! * (r[3]! * r[7]! - r[4]! * r[6]!);
  // 1e-9 of a metre-sized body is a nanometre: what is farther off was never a rotation
  if (off > 1e-9) add("placement.rotation", "stretches or shears the body.", "Give a rotation: rows of length 1, square to each other.");
  else if (turn < 0) add("placement.rotation", "mirrors the body.", "Give a rotation; mirror the mesh in its own file.");
}

function checkShape({ shape }: Body, add: Add): void {
  const above = (field: string, value: number): void => {
    if (!(value > 0 && value < Infinity)) add(field, `is ${say(value)}.`, "Give a length above 0.");
    else if (value > farthest)
      add(field, `is ${say(/radius$/i.test(field) ? 2 * value : value)}.`, `Give a length of up to ${say(farthest)}; check the units.`);
  };
  switch (shape.kind) {
    case "mesh":
      checkMesh(shape, add);
      return;
    case "bore":
      checkBore(shape, add);
      return;
    case "bend":
    case "reducer":
    case "tee":
    case "annulus":
      checkPipe(shape, add);
      return;
    case "vanes":
      checkVanes(shape, add);
      return;
    case "sphere":
      above("radius", shape.radius);
      return;
    case "box":
      shape.size.forEach((value, i) => {
        above(`size[${i}]`, value);
      });
      return;
    case "cylinder":
      above("radius", shape.radius);
      above("length", shape.length);
      return;
    case "ring":
      above("radius", shape.radius);
      above("bar", shape.bar);
      if (shape.bar >= shape.radius)
        add("bar", `is ${say(shape.bar)}, which closes a ring of radius ${say(shape.radius)}.`, "Give a thinner bar or a wider ring.");
      return;
    case "plate":
      shape.size.forEach((value, i) => {
        above(`size[${i}]`, value);
      });
      above("thickness", shape.thickness);
      above("holeRadius", shape.holeRadius);
      if (2 * shape.holeRadius >= Math.min(...shape.size))
        add(
          "holeRadius",
          `is ${say(2 * shape.holeRadius)}: the hole is as wide as the plate of ${shape.size.map(say).join(" x ")}.`,
          "Give a smaller hole or a wider plate.",
        );
      return;
    case "tubes":
      above("radius", shape.radius);
      above("length", shape.length);
      checkTubes(shape, add);
  }
}

function checkMesh({ corners, unit, tolerance = 0 }: MeshShape, add: Add): void {
  if (!(tolerance >= 0 && tolerance < Infinity)) add("tolerance", `is ${say(tolerance)}.`, "Give a length of 0 or more.");
  if (!(unit > 0 && unit < Infinity)) add("unit", `is ${unit} m.`, "Give the length of the file's unit, above 0.");
  if (corners.length === 0 || corners.length % 9 !== 0)
    add("corners", `has ${corners.length} numbers.`, "Give nine numbers a triangle, for one triangle at least.");
  for (let k = 0; k < corners.length; k++) {
    // 1e100 squared and multiplied still is a number
    if (Math.abs(corners[k]!) * unit < 1e50) continue;
    add("corners", `has ${corners[k]} in triangle ${Math.floor(k / 9) + 1}.`, "Give finite numbers of a machine's size.");
    return;
  }
}

function checkBore({ points }: BoreShape, add: Add): void {
  if (points.length < 2) add("points", `has ${points.length}.`, "Give two points at least.");
  let sound = points.length >= 2;
  points.forEach(({ at, radius, bend }, j) => {
    if (!at.every(Number.isFinite)) {
      add(`points[${j}].at`, `is [${at.join(", ")}].`, "Give three finite lengths.");
      sound = false;
    }
    if (!(radius > 0 && radius < Infinity)) add(`points[${j}].radius`, `is ${say(radius)}.`, "Give a length above 0.");
    if (!(bend >= 0 && bend < Infinity)) {
      add(`points[${j}].bend`, `is ${say(bend)}.`, "Give a length of 0 or more.");
      sound = false;
    }
    const next = points[j + 1];
    if (next !== undefined && distance(at, next.at) < 1e-9) {
      add(`points[${j + 1}].at`, "is where the point before it is.", "Move it or leave it away.");
      sound = false;
    }
  });
  if (sound) checkCorners(points, add);
}

/** Corners must turn by less than half a turn, be round enough for the bore, and leave room for each other. */
function checkCorners(points: BoreShape["points"], add: Add): void {
  let turnsBack = false;
  points.forEach(({ bend, radius }, j) => {
    const turn = turnAt(points, j);
    if (turn < straightAngle) return;
    if (turn > Math.PI - 1e-6) {
      turnsBack = true;
      add(`points[${j}].at`, "is where the line turns back on itself.", "Give a round turn two corners.");
    } else if (bend < radius) {
      add(
        `points[${j}].bend`,
        `is ${say(bend)} at a corner of a bore of radius ${say(radius)}: the inner wall would fold.`,
        "Give a bend of the bore's radius or more.",
      );
    }
  });
  // no bend fits a turn right back
  if (turnsBack) return;
  for (let j = 0; j + 1 < points.length; j++) {
    const there = distance(points[j]!.at, points[j + 1]!.at);
    const cuts = [cutAt(points, j), cutAt(points, j + 1)];
    // a line whose arcs just meet may miss by rounding
    if (!(cuts[0]! + cuts[1]! > there * (1 + 1e-9))) continue;
    const corner = cuts[0]! > cuts[1]! ? j : j + 1;
    add(
      `points[${corner}].bend`,
      `is ${say(points[corner]!.bend)}; the bends take ${say(cuts[0]! + cuts[1]!)} of the ${say(there)} between points ${j + 1} and ${j + 2}.`,
      "Give a smaller bend or move the points apart.",
    );
  }
}

/** Tubes may touch; where two run into each other, the first pair of each tube is told. */
function checkTubes({ radius, places }: TubeBundleShape, add: Add): void {
  if (places.length === 0) add("places", "has none.", "Give one tube at least.");
  if (!places.every((place) => place.every(Number.isFinite))) {
    add("places", "has a number that is not finite.", "Give two finite lengths a tube.");
    return;
  }
  const order = places.map((_, k) => k).sort((a, b) => places[a]![0] - places[b]![0] || a - b);
  const least = 2 * radius * (1 - 1e-9);
  for (let i = 0; i < order.length; i++) {
    const here = places[order[i]!]!;
    for (let j = i + 1; j < order.length; j++) {
      const other = places[order[j]!]!;
      if (!(other[0] - here[0] < least)) break;
      const apart = Math.sqrt((other[0] - here[0]) ** 2 + (other[1] - here[1]) ** 2);
      if (apart >= least) continue;
      add(
        `places[${order[j]!}]`,
        `is ${say(apart)} from tube ${order[i]! + 1}, and tubes are ${say(2 * radius)} thick.`,
        "Move it, or give thinner tubes.",
      );
      break;
    }
  }
}

function say(value: number): string {
  return formatQuantity(value, "length", "metric");
}

function distance(a: readonly number[], b: readonly number[]): number {
  return Math.sqrt((a[0]! - b[0]!) ** 2 + (a[1]! - b[1]!) ** 2 + (a[2]! - b[2]!) ** 2);
}
