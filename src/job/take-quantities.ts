/** The one place where written quantities of a file become SI numbers: with their line, their limits, and their ranges kept. */
import { type Fault, formatQuantity, isSpread, type Quantity, quantityKinds, readQuantity } from "../base/index.ts";
import { Written } from "./field.ts";
import { type PathStep, placeOf, sayPath, type YamlText } from "./yaml-text.ts";

export interface Taken<T> {
  readonly value: T;
  /** path in the file -> the value with its range, SI */
  readonly ranges: Readonly<Record<string, Quantity>>;
  /** path in the file -> every number that is not surely known: those of `ranges`, and those whose range the arm keeps */
  readonly unsure: Readonly<Record<string, UnsureNumber>>;
}

/** SI. */
export interface UnsureNumber extends Quantity {
  /** written as a range: anything between is as likely; or with a spread, which is one standard deviation */
  readonly law: "even" | "normal";
}

/**
 * @param shaped  a file as `checkShape` gives it, with `Written` at every quantity
 * @param instead  path in the file -> a number to take in the place of what is written, SI; its range is gone then
 * @returns the same with SI numbers, or every fault
 */
export function takeQuantities<T>(shaped: T, yaml: YamlText, instead?: ReadonlyMap<string, number>): Taken<T> | readonly Fault[] {
  const faults: Fault[] = [];
  const ranges: Record<string, Quantity> = {};
  const unsure: Record<string, UnsureNumber> = {};
  const take = (value: unknown, path: readonly PathStep[]): unknown => {
    if (value instanceof Written) return takeOne(value, path, yaml, instead, ranges, unsure, faults);
    if (Array.isArray(value)) return value.map((entry, k) => take(entry, [...path, k]));
    if (value === null || typeof value !== "object") return value;
    return Object.fromEntries(Object.entries(value).map(([key, entry]) => [key, take(entry, [...path, key])]));
  };
  const taken = take(shaped, []) as T;
  return faults.length > 0 ? faults : { value: taken, ranges, unsure };
}

function takeOne(
  written: Written,
  path: readonly PathStep[],
  yaml: YamlText,
  instead: ReadonlyMap<string, number> | undefined,
  ranges: Record<string, Quantity>,
  unsure: Record<string, UnsureNumber>,
  faults: Fault[],
): number | readonly [number, number] | Quantity {
  const said = sayPath(path);
  const given = instead?.get(said);
  const read = given === undefined ? readQuantity(written.raw, written.kind) : { nominal: given, low: given, high: given };
  if ("code" in read) {
    faults.push({ ...read, path: said, ...placeOf(yaml, path) });
    return written.form === "interval" ? [0, 0] : written.form === "ranged" ? { nominal: 0, low: 0, high: 0 } : 0;
  }
  const limit = limitFault(written, read);
  if (limit !== undefined) faults.push({ ...limit, path: said, ...placeOf(yaml, path) });
  if (written.form === "interval") return [read.low, read.high];
  if (read.low !== read.high) unsure[said] = { ...read, law: isSpread(written.raw) ? "normal" : "even" };
  if (written.form === "ranged") return read;
  if (read.low !== read.high) ranges[said] = read;
  return read.nominal;
}

function limitFault(written: Written, read: Quantity): Fault | undefined {
  const { above, from, upTo } = written.options;
  const say = (value: number): string =>
    value === 0 && written.kind !== "temperature" ? "0" : formatQuantity(value, written.kind, "metric");
  const wants: string[] = [];
  if (above !== undefined) wants.push(`above ${say(above)}`);
  if (from !== undefined) wants.push(`of ${say(from)} or more`);
  if (upTo !== undefined) wants.push(`up to ${say(upTo)}`);
  const low = (above !== undefined && !(read.low > above)) || (from !== undefined && !(read.low >= from));
  const high = upTo !== undefined && !(read.high <= upTo);
  if (!low && !high) return undefined;
  const received = String(written.raw);
  const reach = read.low === read.high ? "" : `, which reaches ${formatQuantity(low ? read.low : read.high, written.kind, "metric")}`;
  return {
    code: "quantity.limit",
    path: "",
    received,
    problem: `is ${received}${reach}.`,
    hint: `Give ${quantityKinds[written.kind].says} ${wants.join(" and ")}.`,
  };
}
