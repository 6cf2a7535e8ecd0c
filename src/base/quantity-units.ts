/**
 * The closed table of what people may write: kinds of quantity, the units of each, and their exact size in SI.
 *
 * @see docs/sources.md#units (exact factors of inch, pound, pound-force, Fahrenheit)
 */

export type QuantityKind =
  | "length"
  | "angle"
  | "force"
  | "torque"
  | "mass"
  | "pressure"
  | "temperature"
  | "temperature-difference"
  | "mass-per-length"
  | "density"
  | "bending-stiffness"
  | "joint-stiffness"
  | "shift-compliance"
  | "turn-compliance"
  | "stiffness"
  | "curvature"
  | "velocity"
  | "turn-rate"
  | "acceleration"
  | "expansion"
  | "stress-rise"
  | "ratio"
  | "time"
  | "dose"
  | "dose-rate";

/** SI value = written value * size + offset, or written value / per: the decimal parts divide, so that 18 mm is 0.018 to the last bit. */
export interface Unit {
  readonly name: string;
  readonly size: number;
  readonly per?: number;
  /** only temperatures have one */
  readonly offset?: number;
  /** other spellings that are read, never written */
  readonly also?: readonly string[];
}

export interface KindOfQuantity {
  /** what a person calls it, as `a length` */
  readonly says: string;
  /** one right value, for hints */
  readonly example: string;
  readonly units: readonly Unit[];
  /** units to write in, each from the given SI magnitude on; the first is the smallest */
  readonly metric: readonly (readonly [unit: string, from: number])[];
  readonly inch: readonly (readonly [unit: string, from: number])[];
}

const inch = 0.0254;
const pound = 0.45359237;
const standardGravity = 9.80665;
const poundForce = pound * standardGravity;
const degree = Math.PI / 180;

export const quantityKinds: Readonly<Record<QuantityKind, KindOfQuantity>> = {
  length: {
    says: "a length",
    example: "12 mm",
    units: [
      { name: "m", size: 1 },
      { name: "cm", size: 1e-2, per: 1e2 },
      { name: "mm", size: 1e-3, per: 1e3 },
      { name: "um", size: 1e-6, per: 1e6, also: ["µm", "μm"] },
      { name: "in", size: inch },
      { name: "ft", size: 12 * inch },
    ],
    metric: [
      ["um", 0],
      ["mm", 1e-4],
      ["m", 1],
    ],
    inch: [
      ["in", 0],
      ["ft", 100 * 12 * inch],
    ],
  },
  angle: {
    says: "an angle",
    example: "3 deg",
    units: [
      { name: "deg", size: degree, also: ["°"] },
      { name: "rad", size: 1 },
      { name: "mrad", size: 1e-3, per: 1e3 },
    ],
    metric: [["deg", 0]],
    inch: [["deg", 0]],
  },
  force: {
    says: "a force",
    example: "80 N",
    units: [
      { name: "N", size: 1 },
      { name: "mN", size: 1e-3, per: 1e3 },
      { name: "kN", size: 1e3 },
      { name: "lbf", size: poundForce },
    ],
    metric: [
      ["mN", 0],
      ["N", 0.1],
      ["kN", 1e4],
    ],
    inch: [["lbf", 0]],
  },
  torque: {
    says: "a torque",
    example: "1.5 N m",
    units: [
      { name: "N m", size: 1, also: ["Nm", "N*m"] },
      { name: "mN m", size: 1e-3, per: 1e3, also: ["mNm", "mN*m"] },
      { name: "lbf in", size: poundForce * inch },
    ],
    metric: [
      ["mN m", 0],
      ["N m", 0.1],
    ],
    inch: [["lbf in", 0]],
  },
  mass: {
    says: "a mass",
    example: "50 g",
    units: [
      { name: "kg", size: 1 },
      { name: "g", size: 1e-3, per: 1e3 },
      { name: "mg", size: 1e-6, per: 1e6 },
      { name: "lb", size: pound },
      { name: "oz", size: pound / 16 },
    ],
    metric: [
      ["mg", 0],
      ["g", 1e-4],
      ["kg", 1],
    ],
    inch: [
      ["oz", 0],
      ["lb", pound],
    ],
  },
  pressure: {
    says: "a pressure or modulus",
    example: "60 GPa",
    units: [
      { name: "Pa", size: 1 },
      { name: "kPa", size: 1e3 },
      { name: "MPa", size: 1e6 },
      { name: "GPa", size: 1e9 },
      { name: "bar", size: 1e5 },
      { name: "psi", size: poundForce / inch ** 2 },
      { name: "ksi", size: (1e3 * poundForce) / inch ** 2 },
    ],
    metric: [
      ["Pa", 0],
      ["kPa", 1e3],
      ["MPa", 1e6],
      ["GPa", 1e9],
    ],
    inch: [
      ["psi", 0],
      ["ksi", (1e3 * poundForce) / inch ** 2],
    ],
  },
  temperature: {
    says: "a temperature",
    example: "20 degC",
    units: [
      { name: "K", size: 1 },
      { name: "degC", size: 1, offset: 273.15, also: ["°C"] },
      { name: "degF", size: 5 / 9, offset: 273.15 - 32 * (5 / 9), also: ["°F"] },
    ],
    metric: [["degC", 0]],
    inch: [["degF", 0]],
  },
  "temperature-difference": {
    says: "a temperature difference",
    example: "15 K",
    units: [
      { name: "K", size: 1 },
      { name: "degC", size: 1, also: ["°C"] },
      { name: "degF", size: 5 / 9, also: ["°F"] },
    ],
    metric: [["K", 0]],
    inch: [["degF", 0]],
  },
  "mass-per-length": {
    says: "a mass per length",
    example: "1.5 g/m",
    units: [
      { name: "kg/m", size: 1 },
      { name: "g/m", size: 1e-3, per: 1e3 },
      { name: "lb/ft", size: pound / (12 * inch) },
    ],
    metric: [
      ["g/m", 0],
      ["kg/m", 1],
    ],
    inch: [["lb/ft", 0]],
  },
  density: {
    says: "a density",
    example: "7900 kg/m3",
    units: [
      { name: "kg/m3", size: 1, also: ["kg/m^3"] },
      { name: "g/cm3", size: 1e3, also: ["g/cm^3"] },
      { name: "lb/in3", size: pound / inch ** 3, also: ["lb/in^3"] },
    ],
    metric: [["kg/m3", 0]],
    inch: [["lb/in3", 0]],
  },
  "bending-stiffness": {
    says: "a bending or twisting stiffness (modulus x second moment)",
    example: "0.006 N m2",
    units: [
      { name: "N m2", size: 1, also: ["N m^2", "N*m2", "N*m^2"] },
      { name: "N mm2", size: 1e-6, per: 1e6, also: ["N mm^2", "N*mm2", "N*mm^2"] },
      { name: "lbf in2", size: poundForce * inch ** 2, also: ["lbf in^2"] },
    ],
    metric: [
      ["N mm2", 0],
      ["N m2", 0.1],
    ],
    inch: [["lbf in2", 0]],
  },
  "joint-stiffness": {
    says: "a stiffness of a joint (moment a turn)",
    example: "500 N m/rad",
    units: [
      { name: "N m/rad", size: 1, also: ["N*m/rad", "Nm/rad"] },
      { name: "N m/deg", size: 1 / degree, also: ["N*m/deg", "Nm/deg"] },
      { name: "N mm/rad", size: 1e-3, per: 1e3, also: ["N*mm/rad", "Nmm/rad"] },
      { name: "lbf in/rad", size: poundForce * inch },
    ],
    metric: [["N m/rad", 0]],
    inch: [["lbf in/rad", 0]],
  },
  stiffness: {
    says: "a stiffness (force over way)",
    example: "20 N/mm",
    units: [
      { name: "N/m", size: 1 },
      { name: "N/mm", size: 1e3 },
      { name: "kN/m", size: 1e3 },
      { name: "lbf/in", size: poundForce / inch },
    ],
    metric: [
      ["N/m", 0],
      ["N/mm", 1e3],
    ],
    inch: [["lbf/in", 0]],
  },
  "shift-compliance": {
    says: "a give a force",
    example: "2 um/N",
    units: [
      { name: "m/N", size: 1 },
      { name: "mm/N", size: 1e-3, per: 1e3 },
      { name: "um/N", size: 1e-6, per: 1e6, also: ["µm/N", "μm/N"] },
      { name: "in/lbf", size: inch / poundForce },
    ],
    metric: [["um/N", 0]],
    inch: [["in/lbf", 0]],
  },
  "turn-compliance": {
    says: "a turn a moment",
    example: "1 mrad/(N m)",
    units: [
      { name: "rad/(N m)", size: 1, also: ["rad/(N*m)", "rad/Nm"] },
      { name: "mrad/(N m)", size: 1e-3, per: 1e3, also: ["mrad/(N*m)", "mrad/Nm"] },
      { name: "deg/(N m)", size: degree, also: ["deg/(N*m)", "deg/Nm"] },
      { name: "rad/(lbf in)", size: 1 / (poundForce * inch) },
    ],
    metric: [["mrad/(N m)", 0]],
    inch: [["rad/(lbf in)", 0]],
  },
  curvature: {
    says: "a curvature",
    example: "4 rad/m",
    units: [
      { name: "rad/m", size: 1, also: ["1/m"] },
      { name: "deg/m", size: degree },
      { name: "deg/in", size: degree / inch },
    ],
    metric: [["rad/m", 0]],
    inch: [["deg/in", 0]],
  },
  velocity: {
    says: "a velocity",
    example: "0.5 m/s",
    units: [
      { name: "m/s", size: 1 },
      { name: "mm/s", size: 1e-3, per: 1e3 },
      { name: "ft/s", size: 12 * inch },
    ],
    metric: [
      ["mm/s", 0],
      ["m/s", 0.1],
    ],
    inch: [["ft/s", 0]],
  },
  "turn-rate": {
    says: "a speed of turning",
    example: "3000 rpm",
    units: [
      { name: "rad/s", size: 1 },
      { name: "deg/s", size: degree },
      { name: "rpm", size: Math.PI / 30, also: ["1/min", "r/min"] },
    ],
    metric: [
      ["rad/s", 0],
      ["rpm", 0.1],
    ],
    inch: [
      ["rad/s", 0],
      ["rpm", 0.1],
    ],
  },
  acceleration: {
    says: "an acceleration",
    example: "9.81 m/s2",
    units: [
      { name: "m/s2", size: 1, also: ["m/s^2"] },
      { name: "mm/s2", size: 1e-3, per: 1e3, also: ["mm/s^2"] },
      { name: "ft/s2", size: 12 * inch, also: ["ft/s^2"] },
    ],
    metric: [["m/s2", 0]],
    inch: [["ft/s2", 0]],
  },
  expansion: {
    says: "a coefficient of thermal expansion",
    example: "17 um/m/K",
    units: [
      { name: "1/K", size: 1, also: ["1/degC"] },
      { name: "um/m/K", size: 1e-6, per: 1e6, also: ["ppm/K", "um/m/degC"] },
      { name: "1/degF", size: 9 / 5 },
    ],
    metric: [["um/m/K", 0]],
    inch: [["1/degF", 0]],
  },
  "stress-rise": {
    says: "a change of stress with temperature",
    example: "6.5 MPa/K",
    units: [
      { name: "Pa/K", size: 1 },
      { name: "MPa/K", size: 1e6, also: ["MPa/degC"] },
      { name: "psi/degF", size: (poundForce / inch ** 2) * (9 / 5) },
    ],
    metric: [["MPa/K", 0]],
    inch: [["psi/degF", 0]],
  },
  ratio: {
    says: "a ratio",
    example: "0.33",
    units: [
      { name: "1", size: 1, also: [""] },
      { name: "%", size: 1e-2, per: 1e2 },
    ],
    metric: [["1", 0]],
    inch: [["1", 0]],
  },
  time: {
    says: "a time",
    example: "30 s",
    units: [
      { name: "s", size: 1 },
      { name: "ms", size: 1e-3, per: 1e3 },
      { name: "min", size: 60 },
      { name: "h", size: 3600 },
    ],
    metric: [
      ["ms", 0],
      ["s", 0.1],
      ["min", 600],
      ["h", 36000],
    ],
    inch: [
      ["ms", 0],
      ["s", 0.1],
      ["min", 600],
      ["h", 36000],
    ],
  },
  dose: {
    says: "an absorbed dose",
    example: "100 Gy",
    units: [
      { name: "Gy", size: 1 },
      { name: "mGy", size: 1e-3, per: 1e3 },
      { name: "kGy", size: 1e3 },
    ],
    metric: [
      ["mGy", 0],
      ["Gy", 0.1],
      ["kGy", 1e4],
    ],
    inch: [
      ["mGy", 0],
      ["Gy", 0.1],
      ["kGy", 1e4],
    ],
  },
  "dose-rate": {
    says: "a dose rate",
    example: "50 Gy/h",
    units: [
      { name: "Gy/s", size: 1 },
      { name: "Gy/h", size: 1 / 3600, per: 3600 },
      { name: "mGy/h", size: 1e-3 / 3600, per: 3.6e6 },
      { name: "kGy/h", size: 1e3 / 3600, per: 3.6 },
    ],
    metric: [
      ["mGy/h", 0],
      ["Gy/h", 0.1 / 3600],
      ["kGy/h", 1e4 / 3600],
    ],
    inch: [
      ["mGy/h", 0],
      ["Gy/h", 0.1 / 3600],
      ["kGy/h", 1e4 / 3600],
    ],
  },
};

/** The unit of that name or other spelling; undefined when the kind has none. Upper and lower case differ (mN, MN). */
export function findUnit(kind: QuantityKind, name: string): Unit | undefined {
  return quantityKinds[kind].units.find((unit) => unit.name === name || unit.also?.includes(name));
}

/** A number written in this unit, in SI; `width` when only differences count and the offset does not. */
export function toSi(written: number, unit: Unit, width = false): number {
  return (unit.per === undefined ? written * unit.size : written / unit.per) + (width ? 0 : (unit.offset ?? 0));
}

/** An SI number in this unit. */
export function fromSi(value: number, unit: Unit): number {
  const bare = value - (unit.offset ?? 0);
  return unit.per === undefined ? bare / unit.size : bare * unit.per;
}
