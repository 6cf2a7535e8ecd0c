/** Numbers with their units, as people read them; everything else in the project is SI. */
import { assert, findUnit, type QuantityKind, type UnitSystem } from "../base/index.ts";
import type { MarginUnit } from "../verdict/index.ts";

export interface Measure {
  /** as written behind a number */
  readonly name: string;
  /** SI value of one */
  readonly size: number;
  /** decimals in tables */
  readonly digits: number;
}

export interface Measures {
  readonly length: Measure;
  readonly force: Measure;
  readonly stress: Measure;
  readonly mass: Measure;
  readonly angle: Measure;
  readonly strain: Measure;
  readonly torque: Measure;
  readonly turnRate: Measure;
  readonly speed: Measure;
}

const angle = measure("angle", "deg", 2);
const strain = measure("ratio", "%", 2);

const turnRate = measure("turn-rate", "rpm", 0);

const systems: Readonly<Record<UnitSystem, Measures>> = {
  metric: {
    length: measure("length", "mm", 2),
    force: measure("force", "N", 1),
    stress: measure("pressure", "MPa", 0),
    mass: measure("mass", "g", 1),
    angle,
    strain,
    torque: measure("torque", "mN m", 1),
    turnRate,
    speed: measure("velocity", "mm/s", 2),
  },
  inch: {
    length: measure("length", "in", 4),
    force: measure("force", "lbf", 2),
    stress: measure("pressure", "ksi", 1),
    mass: measure("mass", "oz", 2),
    angle,
    strain,
    torque: measure("torque", "lbf in", 3),
    turnRate,
    speed: measure("velocity", "ft/s", 4),
  },
};

function measure(kind: QuantityKind, name: string, digits: number): Measure {
  const unit = findUnit(kind, name);
  assert(unit !== undefined, `unit ${name} of ${kind}`);
  return { name, size: unit.size, digits };
}

export function measuresOf(system: UnitSystem): Measures {
  return systems[system];
}

/** The number without its unit, for columns whose head names it. */
export function sayNumber(value: number, measure: Measure, digits = measure.digits): string {
  if (Number.isNaN(value)) return "not known";
  if (!Number.isFinite(value)) return value > 0 ? "no limit" : "none";
  const shown = (value / measure.size).toFixed(digits);
  return (/^-0(\.0*)?$/.test(shown) ? shown.slice(1) : shown).replace("-", "\u2212");
}

export function say(value: number, measure: Measure, digits = measure.digits): string {
  return Number.isFinite(value) ? `${sayNumber(value, measure, digits)}\u00a0${measure.name}` : sayNumber(value, measure);
}

export function measureOf(unit: MarginUnit, measures: Measures): Measure {
  const by: Readonly<Record<MarginUnit, Measure>> = {
    m: measures.length,
    rad: measures.angle,
    N: measures.force,
    Pa: measures.stress,
    kg: measures.mass,
    "1": measures.strain,
    "N m": measures.torque,
    "rad/s": measures.turnRate,
  };
  return by[unit];
}

/** A number and its unit stay on one line. */
export function keepUnits(text: string): string {
  return text.replaceAll(/(\d) (%|mm|m|in|deg|N|lbf|MPa|ksi|g|kg)(?![\w])/g, "$1\u00a0$2");
}

/** Demand against limit in per cent. */
export function sayUse(use: number): string {
  if (Number.isNaN(use)) return "not known";
  if (use === Number.POSITIVE_INFINITY) return "none left";
  return use > 9.99 ? "over 999\u00a0%" : `${Math.round(use * 100)}\u00a0%`;
}

/** Where a place along the way matters, not a gap: whole millimetres, hundredths of an inch. */
export function sayRough(value: number, measure: Measure): string {
  return say(value, measure, Math.max(0, measure.digits - 2));
}

/** @returns [3] coordinates as `(1.0, 2.0, 3.0) mm` */
export function sayPlace(place: readonly number[], { length }: Measures, digits = length.digits - 1): string {
  return `(${place.map((value) => sayNumber(value, length, digits)).join(", ")})\u00a0${length.name}`;
}

/** A unit vector. */
export function sayDirection(direction: readonly number[]): string {
  return `(${direction.map((value) => sayNumber(value, { name: "", size: 1, digits: 3 })).join(", ")})`;
}

/** The least of 1, 2 or 5 times a power of ten that is at least `value`. */
export function niceStep(value: number): number {
  const power = 10 ** Math.floor(Math.log10(value));
  const lead = value / power;
  return power * (lead <= 1.000001 ? 1 : lead <= 2.000001 ? 2 : lead <= 5.000001 ? 5 : 10);
}
