/** SI numbers -> quantities as people write them, in metric or inch units. What it writes, `parseQuantity` reads back. */
import { assert } from "./assert.ts";
import { findUnit, fromSi, type QuantityKind, quantityKinds } from "./quantity-units.ts";

export type UnitSystem = "metric" | "inch";

/**
 * @param value   SI; infinite and undefined numbers are said in words
 * @param digits  significant digits to keep, 1 to 17; trailing zeros are dropped
 */
export function formatQuantity(value: number, kind: QuantityKind, system: UnitSystem, digits = 4): string {
  assert(Number.isInteger(digits) && digits >= 1 && digits <= 17, "digits from 1 to 17");
  if (Number.isNaN(value)) return "undefined";
  if (!Number.isFinite(value)) return value > 0 ? "unlimited" : "-unlimited";
  const name = displayUnit(value, kind, system);
  const unit = findUnit(kind, name);
  assert(unit !== undefined, `unit ${name} of ${kind}`);
  const text = shorten(fromSi(value, unit), digits);
  return kind === "ratio" ? text : `${text} ${name}`;
}

/** The unit that a value of this size is best written in; zero is written in the kind's everyday unit. */
export function displayUnit(value: number, kind: QuantityKind, system: UnitSystem): string {
  const choices = quantityKinds[kind][system];
  const everyday = choices[Math.min(1, choices.length - 1)] as readonly [string, number];
  let best = (choices[0] as readonly [string, number])[0];
  // rounding of the value itself must not decide the unit: 1 mm stays 1 mm when it is 0.9999999999 mm
  const size = Math.abs(value) * (1 + 1e-9);
  if (size === 0) return everyday[0];
  for (const [name, from] of choices) if (size >= from) best = name;
  return best;
}

function shorten(number: number, digits: number): string {
  const rounded = Number(number.toPrecision(digits));
  return Object.is(rounded, -0) ? "0" : String(rounded);
}
