/**
 * How plain data is written to JSON and read back, field by field: one description serves both ways.
 *
 * JSON has no infinity and no undefined number: +Infinity is `null`, -Infinity is `"-infinite"`, what could not be computed (NaN) is
 * `"unknown"`. Faults carry the path and the value; all of a text are gathered.
 */
import type { Fault } from "../base/index.ts";

export interface Coding<T> {
  write(value: T): unknown;
  /** Pushes faults; what it returns then is not to be used. */
  read(from: unknown, path: string, faults: Fault[]): T;
}

/** Lengths and the entries of rotations are rounded to this, so that a place moves by less than 1e-9 m. */
const lengthStep = 1e-10;
/** Every other number keeps this many significant digits. */
const digits = 10;

const roundLength = (value: number): number => {
  const steps = Math.round(value / lengthStep);
  // beyond 900 km nothing is rounded; dividing by the whole number of steps a unit gives the shortest decimal
  return Number.isSafeInteger(steps) ? steps / 1e10 + 0 : value;
};
const roundNumber = (value: number): number => {
  const rounded = Number(value.toPrecision(digits));
  // the very largest numbers would round beyond all numbers
  return Number.isFinite(rounded) ? rounded : value;
};

function numberCoding(round: (value: number) => number, whole: boolean): Coding<number> {
  return {
    write: (value) =>
      Number.isNaN(value)
        ? "unknown"
        : value === Number.POSITIVE_INFINITY
          ? null
          : value === Number.NEGATIVE_INFINITY
            ? "-infinite"
            : round(value),
    read(from, path, faults) {
      if (from === null && !whole) return Number.POSITIVE_INFINITY;
      if (from === "unknown" && !whole) return Number.NaN;
      if (from === "-infinite" && !whole) return Number.NEGATIVE_INFINITY;
      if (typeof from === "number" && (!whole || Number.isInteger(from))) return from;
      fault(faults, path, from, whole ? "a whole number" : 'a number, null (unlimited), "-infinite" or "unknown"');
      return Number.NaN;
    },
  };
}

/** m, or an entry of a rotation */
export const length = numberCoding(roundLength, false);
/** any other unit */
export const number = numberCoding(roundNumber, false);
/** to the last bit, whatever the unit */
export const exact = numberCoding((value) => value, false);
/** an index or a count */
export const whole = numberCoding((value) => value, true);

export const truth: Coding<boolean> = {
  write: (value) => value,
  read(from, path, faults) {
    if (typeof from === "boolean") return from;
    fault(faults, path, from, "true or false");
    return false;
  },
};

export const text: Coding<string> = {
  write: (value) => value,
  read(from, path, faults) {
    if (typeof from === "string") return from;
    fault(faults, path, from, "a text");
    return "";
  },
};

export function oneOf<const T extends string | number>(...choices: readonly T[]): Coding<T> {
  return {
    write: (value) => value,
    read(from, path, faults) {
      const found = choices.find((choice) => choice === from);
      if (found === undefined) fault(faults, path, from, `one of ${choices.map((choice) => JSON.stringify(choice)).join(", ")}`);
      return found ?? choices[0]!;
    },
  };
}

/** @param exactly how many entries there must be; any number when absent */
export function list<T>(entry: Coding<T>, exactly?: number): Coding<readonly T[]> {
  return {
    write: (values) => values.map((value) => entry.write(value)),
    read(from, path, faults) {
      if (!Array.isArray(from) || (exactly !== undefined && from.length !== exactly)) {
        fault(faults, path, from, exactly === undefined ? "a list" : `a list of ${exactly}`);
        return [];
      }
      return from.map((value, k) => entry.read(value, `${path}[${k}]`, faults));
    },
  };
}

/** A typed array as a plain list. */
export function floats(entry: Coding<number>): Coding<Float64Array> {
  return {
    write: (values) => Array.from(values, entry.write),
    read(from, path, faults) {
      const plain = listed(from, path, faults);
      const out = new Float64Array(plain.length);
      // a path is made only where there is something to say
      for (let k = 0; k < out.length; k++)
        out[k] = typeof plain[k] === "number" ? (plain[k] as number) : entry.read(plain[k], `${path}[${k}]`, faults);
      return out;
    },
  };
}

export const wholes: Coding<Int32Array> = {
  write: (values) => Array.from(values),
  read(from, path, faults) {
    const plain = listed(from, path, faults);
    const out = new Int32Array(plain.length);
    for (let k = 0; k < out.length; k++) {
      const value = plain[k];
      if (typeof value === "number" && (value | 0) === value) out[k] = value;
      else fault(faults, `${path}[${k}]`, value, "a whole number");
    }
    return out;
  },
};

function listed(from: unknown, path: string, faults: Fault[]): readonly unknown[] {
  if (Array.isArray(from)) return from;
  fault(faults, path, from, "a list");
  return [];
}

/** A group of keys of one kind, named by the data. */
export function named<T>(entry: Coding<T>): Coding<Readonly<Record<string, T>>> {
  return {
    write: (values) => Object.fromEntries(Object.entries(values).map(([key, value]) => [key, entry.write(value)])),
    read(from, path, faults) {
      if (!isGroup(from)) {
        fault(faults, path, from, "a group of keys");
        return {};
      }
      return Object.fromEntries(Object.entries(from).map(([key, value]) => [key, entry.read(value, join(path, key), faults)]));
    },
  };
}

/** A coding for every key of T; `maybe` marks those that may be absent. */
export type Fields<T> = { readonly [K in keyof T]-?: Coding<Exclude<T[K], undefined>> };

export function group<T extends object>(fields: Fields<T>, maybe: readonly (keyof T)[] = []): Coding<T> & { readonly fields: Fields<T> } {
  const keys = Object.keys(fields) as (keyof T & string)[];
  return {
    fields,
    write(value) {
      const out: Record<string, unknown> = {};
      for (const key of keys) if (value[key] !== undefined) out[key] = fields[key].write(value[key] as never);
      return out;
    },
    read(from, path, faults) {
      if (!isGroup(from)) {
        fault(faults, path, from, "a group of keys");
        return {} as T;
      }
      const out: Record<string, unknown> = {};
      for (const key of keys) {
        if (Object.hasOwn(from, key)) out[key] = fields[key].read(from[key], join(path, key), faults);
        else if (!maybe.includes(key)) fault(faults, join(path, key), undefined, "there");
      }
      for (const key of Object.keys(from))
        if (!keys.includes(key as keyof T & string)) fault(faults, join(path, key), from[key], "absent: no such key is known");
      return out as T;
    },
  };
}

function isGroup(from: unknown): from is Record<string, unknown> {
  return typeof from === "object" && from !== null && !Array.isArray(from);
}

function join(path: string, key: string): string {
  return path === "" ? key : `${path}.${key}`;
}

/** A text that is something else altogether would give a fault a number: this many are enough to see it. */
const mostFaults = 200;

function fault(faults: Fault[], path: string, value: unknown, expected: string): void {
  if (faults.length >= mostFaults) return;
  const shown = value === undefined ? "is missing" : `is ${JSON.stringify(value)?.slice(0, 60)}`;
  faults.push({ code: "plan.content", path, problem: `${shown}.`, hint: `It must be ${expected}. Write the plan again.` });
}
