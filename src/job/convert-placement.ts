/** Place and turn of a body or zone -> where it is, as a rotation and a place. */
import type { Placement } from "../space/index.ts";
import type { BodyFile } from "./schema-job.ts";

type Vector = readonly [number, number, number];

export function convertPlacement(body: Pick<BodyFile, "at" | "turn">): Placement {
  return { at: body.at ?? [0, 0, 0], rotation: turnMatrix(body.turn ?? [0, 0, 0]) };
}

/** Turns about the fixed x, then y, then z axis: R = Rz Ry Rx, row-major. Quarter turns come out without rounding. */
function turnMatrix([a, b, c]: Vector): number[] {
  const [ca, sa, cb, sb, cc, sc] = [cosine(a), sine(a), cosine(b), sine(b), cosine(c), sine(c)];
  const rows = [
    cc * cb,
    cc * sb * sa - sc * ca,
    cc * sb * ca + sc * sa,
    sc * cb,
    sc * sb * sa + cc * ca,
    sc * sb * ca - cc * sa,
    -sb,
    cb * sa,
    cb * ca,
  ];
  return rows.map((value) => value + 0);
}

function sine(angle: number): number {
  return quarterSine(angle, 0) ?? Math.sin(angle);
}

function cosine(angle: number): number {
  return quarterSine(angle, 1) ?? Math.cos(angle);
}

/** The sine of a whole number of quarter turns, `ahead` quarters on; undefined for any other angle. */
function quarterSine(angle: number, ahead: number): number | undefined {
  const quarters = angle / (Math.PI / 2);
  const whole = Math.round(quarters);
  if (Math.abs(quarters - whole) > 1e-14) return undefined;
  return [0, 1, 0, -1][(((whole + ahead) % 4) + 4) % 4];
}
