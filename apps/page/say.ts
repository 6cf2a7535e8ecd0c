/** Numbers with their units, as people read them. Everything is SI until it gets here. */
import type { Obstacle } from "../../src/path/index.ts";
import type { MarginUnit } from "../../src/verdict/index.ts";

export type LengthUnit = "mm" | "in";

const metresPer = { mm: 1e-3, in: 0.0254 };

/** Length in the chosen unit, without the unit's name: for axes. */
export function lengthIn(metres: number, unit: LengthUnit): number {
  return metres / metresPer[unit];
}

export function sayLength(metres: number, unit: LengthUnit, digits = unit === "mm" ? 1 : 3): string {
  return withUnit(lengthIn(metres, unit), digits, unit);
}

/** A depth of feed: whole millimetres are enough to find a place. */
export function sayDepth(metres: number, unit: LengthUnit): string {
  return sayLength(metres, unit, unit === "mm" ? 0 : 2);
}

export function sayAngle(radians: number, digits = 1): string {
  return withUnit((radians * 180) / Math.PI, digits, "°", "");
}

export function sayForce(newtons: number): string {
  return withUnit(newtons, Math.abs(newtons) < 10 ? 1 : 0, "N");
}

/** Standard gravity, m/s^2 (CGPM 1901). */
const standardGravity = 9.80665;

/** A force as the mass that weighs it. */
export function sayMass(newtons: number): string {
  const grams = (1000 * newtons) / standardGravity;
  return grams < 1000 ? withUnit(grams, grams < 10 ? 1 : 0, "g") : withUnit(grams / 1000, grams < 10_000 ? 2 : 0, "kg");
}

/** A margin's number in its own unit. */
export function sayAmount(value: number, kind: MarginUnit, unit: LengthUnit): string {
  switch (kind) {
    case "m":
      return sayLength(value, unit, Math.abs(lengthIn(value, unit)) >= 100 ? 0 : unit === "mm" ? 1 : 3);
    case "rad":
      return sayAngle(value);
    case "N":
      return sayForce(value);
    case "Pa":
      return withUnit(value / 1e6, 0, "MPa");
    case "kg":
      return withUnit(value * 1000, 0, "g");
    case "1":
      return withUnit(value * 100, 2, "%");
    case "N m":
      return Math.abs(value) < 1 ? withUnit(value * 1000, 1, "mN\u00a0m") : withUnit(value, 2, "N\u00a0m");
    case "rad/s":
      return withUnit((value * 30) / Math.PI, 0, "rpm");
  }
}

/** What stands in the way, in a word or two beside its place. */
export function sayObstacle(kind: Obstacle["kind"]): string {
  return obstacleWords[kind];
}

const obstacleWords = {
  narrow: "too narrow here",
  bend: "too sharp a bend here",
  length: "the arm ends here",
  start: "no room at the start",
  target: "no room at the target",
  unreached: "no way on from here",
} as const;

/** Demand against limit, in per cent of the limit; what cannot be told says so. */
export function sayUse(use: number): string {
  if (Number.isNaN(use)) return "not known";
  if (use === Number.POSITIVE_INFINITY) return "none left";
  if (use > 9.99) return "over 999 %";
  return `${Math.round(use * 100)} %`;
}

function withUnit(value: number, digits: number, unit: string, space = "\u202f"): string {
  if (Number.isNaN(value)) return "not known";
  if (!Number.isFinite(value)) return value > 0 ? "no limit" : "none";
  const text = value.toFixed(digits);
  const shown = /^-0(\.0+)?$/.test(text) ? text.slice(1) : text;
  return `${shown.replace("-", "\u2212")}${space}${unit}`;
}
