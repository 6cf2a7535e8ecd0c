/**
 * Quantities as people write them: `12 mm`, a range `10 mm .. 14 mm`, or with spread `12 mm +- 0.5 mm`.
 *
 * Everything inside is SI; this is the one place where units are read. A range is known to lie somewhere between its
 * ends, its nominal is the middle; a spread gives nominal and half-width. Where both halves share a unit it may be written once.
 */
import type { FaultCode } from "./codes.ts";
import { type Fault, InputError } from "./errors.ts";
import { findUnit, type QuantityKind, quantityKinds, toSi, type Unit } from "./quantity-units.ts";

/** SI. `low` = `high` = `nominal` when no range or spread was written. */
export interface Quantity {
  readonly nominal: number;
  readonly low: number;
  readonly high: number;
}

/**
 * @throws InputError `quantity.unit`, `quantity.number`, `quantity.range` with an empty path
 */
export function parseQuantity(text: string, kind: QuantityKind): Quantity {
  const read = readQuantity(text, kind);
  if ("code" in read) throw new InputError([read]);
  return read;
}

/** As `parseQuantity`, but hands the fault back so that callers can gather many. */
export function readQuantity(written: unknown, kind: QuantityKind): Quantity | Fault {
  const { says, example } = quantityKinds[kind];
  const received = sayReceived(written);
  const fault = (code: FaultCode, problem: string, hint: string): Fault => ({ code, path: "", problem, hint, received });
  if (written === null || written === "") return fault("quantity.number", "is empty.", `Give ${says}, as ${example}.`);
  if (typeof written === "number" && kind !== "ratio") return bareNumber(String(written), kind, fault);
  if (typeof written !== "string" && typeof written !== "number") {
    return fault("quantity.number", `is ${received}, not ${says}.`, `Write it as ${example}.`);
  }
  const text = String(written).trim();
  const spread = text.split(/\s*(?:\+-|\+\/-|±)\s*/);
  const range = text.split(/\s*\.\.\s*/);
  if (spread.length === 2) return readPair(spread as [string, string], "spread", kind, fault);
  if (range.length === 2) return readPair(range as [string, string], "range", kind, fault);
  if (spread.length > 2 || range.length > 2) {
    return fault("quantity.range", `is ${received}.`, `Write one value (${example}), a range (a .. b) or a value with spread (a +- b).`);
  }
  const one = readOne(text, kind, false, fault);
  return "code" in one ? one : { nominal: one.value, low: one.value, high: one.value };
}

/** Whether a value is written with a spread (`12 mm +- 0.5 mm`): a range only says between which ends it lies. */
export function isSpread(written: unknown): boolean {
  return typeof written === "string" && /\+-|\+\/-|±/.test(written);
}

/** Pattern that a written quantity of this kind must match, for a schema; reading is stricter about size alone. */
export function quantityPattern(kind: QuantityKind): string {
  const names = quantityKinds[kind].units.flatMap((unit) => [unit.name, ...(unit.also ?? [])]).filter((name) => name !== "");
  const unit = `(?:${names.map((name) => name.replace(/[\^*.]/g, "\\$&").replace(/ /g, " ?")).join("|")})`;
  const bare = kind === "ratio" ? "?" : "";
  const number = String.raw`[+-]?(?:\d+\.?\d*|\.\d+)(?:[eE][+-]?\d+)?`;
  const other = `${number}\\s*${kind === "ratio" || kind === "temperature" ? unit : `(?:${unit}|%)`}${bare}`;
  return `^\\s*(?:${number}\\s*${unit}${bare}|${number}\\s*${unit}?\\s*(?:\\.\\.|\\+-|\\+/-|±)\\s*${other})\\s*$`;
}

type MakeFault = (code: FaultCode, problem: string, hint: string) => Fault;

interface Written {
  readonly value: number;
  readonly unit: Unit;
}

function readPair(parts: [string, string], form: "range" | "spread", kind: QuantityKind, fault: MakeFault): Quantity | Fault {
  const isSpread = form === "spread";
  const share = isSpread && kind !== "ratio" && /%\s*$/.test(parts[1]);
  const widthKind = kind === "temperature" && isSpread ? "temperature-difference" : kind;
  const second = readOne(parts[1], share ? "ratio" : widthKind, isSpread, fault);
  if ("code" in second) return second;
  const first = readOne(isNumber(parts[0]) && !share ? `${parts[0]} ${second.unit.name}` : parts[0], kind, false, fault);
  if ("code" in first) return first;
  if (!isSpread) {
    if (first.value > second.value) {
      return fault(
        "quantity.range",
        `runs downwards (${parts[0]} .. ${parts[1]}).`,
        `Write the smaller end first: ${parts[1]} .. ${parts[0]}.`,
      );
    }
    return { nominal: first.value + (second.value - first.value) / 2, low: first.value, high: second.value };
  }
  const width = share ? second.value * Math.abs(first.value) : second.value;
  if (width < 0) return fault("quantity.range", `has a spread below 0 (${parts[1]}).`, "Give the half-width as a positive value.");
  return { nominal: first.value, low: first.value - width, high: first.value + width };
}

const plainNumber = /^[+-]?(?:\d+\.?\d*|\.\d+)(?:[eE][+-]?\d+)?$/;
const numberThenRest = /^([+-]?(?:\d+\.?\d*|\.\d+)(?:[eE][+-]?\d+)?)\s*(.*)$/;

function isNumber(text: string): boolean {
  return plainNumber.test(text.trim());
}

/** @param width  the value is a half-width: a unit's offset does not count */
function readOne(text: string, kind: QuantityKind, width: boolean, fault: MakeFault): Written | Fault {
  const { says, example, units } = quantityKinds[kind];
  const trimmed = text.trim();
  const expected = units.map((unit) => unit.name).join(", ");
  if (/^[+-]?(nan|inf(inity)?)\b/i.test(trimmed.replace(/^([+-]?)\./, "$1"))) {
    return fault("quantity.number", `is ${trimmed}, which is no number.`, `Give ${says} that is finite, as ${example}.`);
  }
  if (/^[+-]?0[xob]/i.test(trimmed)) {
    return fault("quantity.number", `is ${trimmed}, which is not in decimal digits.`, `Write it in decimals, as ${example}.`);
  }
  const parts = numberThenRest.exec(trimmed);
  if (parts === null) {
    const minus = trimmed.startsWith("−") ? " The minus sign is not the plain one (-)." : "";
    return fault(
      "quantity.number",
      `is ${JSON.stringify(trimmed)}, which does not begin with a number.`,
      `Write it as ${example}.${minus}`,
    );
  }
  const [, digits = "", name = ""] = parts;
  if (/^,\d/.test(name)) {
    return fault("quantity.number", `is ${trimmed}, with a decimal comma.`, `Write a point: ${digits}.${name.slice(1)}.`);
  }
  const unit = findUnit(kind, name.replace(/\s+/g, " "));
  if (unit === undefined) {
    if (name === "") return bareNumber(digits, kind, fault);
    const near = units.find((u) => u.name.toLowerCase() === name.toLowerCase());
    const elsewhere = kindsOf(name).map((k) => quantityKinds[k].says);
    const problem =
      elsewhere.length > 0 ? `is ${trimmed}: ${name} belongs to ${elsewhere.join(" or ")}.` : `is ${trimmed}: there is no unit ${name}.`;
    return fault("quantity.unit", problem, near ? `Write ${digits} ${near.name}.` : `Give ${says} in one of: ${expected}.`);
  }
  const value = toSi(Number(digits), unit, width);
  if (!Number.isFinite(value))
    return fault("quantity.number", `is ${trimmed}, which is too large for a number.`, `Give ${says}, as ${example}.`);
  return { value, unit };
}

function bareNumber(digits: string, kind: QuantityKind, fault: MakeFault): Fault {
  const { says, example, units } = quantityKinds[kind];
  if (!isNumber(digits))
    return fault("quantity.number", `is ${digits}, which is no number.`, `Give ${says} that is finite, as ${example}.`);
  const unit = quantityKinds[kind].example.replace(/^\S+\s*/, "");
  const others = units.map((u) => u.name).join(", ");
  return fault("quantity.unit", `is ${digits} without a unit.`, `Say what it is counted in, as ${digits} ${unit} (units: ${others}).`);
}

function kindsOf(name: string): QuantityKind[] {
  return (Object.keys(quantityKinds) as QuantityKind[]).filter((kind) => name !== "" && findUnit(kind, name) !== undefined);
}

function sayReceived(written: unknown): string {
  if (typeof written === "string") return written;
  if (written === null) return "nothing";
  if (Array.isArray(written)) return "a list";
  return typeof written === "object" ? "a group of keys" : String(written);
}
