/**
 * The fields a file is made of. One description of a file serves two ends: `published` gives the JSON Schema's view (a quantity is a
 * string with a pattern), `reading` lets any scalar through as `Written`, so that `takeQuantities` can convert it once, with its line.
 */
import * as z from "zod";
import { type Quantity, type QuantityKind, quantityKinds, quantityPattern } from "../base/index.ts";

// a page whose policy forbids evaluated code must load jobs without a violation on its console
z.config({ jitless: true });

export interface QuantityOptions {
  /** what it means, for editors and the reference */
  readonly says: string;
  /** used when the key is absent */
  readonly default?: string;
  /** SI; the whole range of the value must lie above it */
  readonly above?: number;
  /** SI; ... at or above it */
  readonly from?: number;
  /** SI; ... at or below it */
  readonly upTo?: number;
}

export type QuantityForm = "value" | "interval" | "ranged";

/** A quantity as it stands in the file, before conversion. */
export class Written {
  readonly raw: unknown;
  readonly kind: QuantityKind;
  readonly options: QuantityOptions;
  /** `value`: a number with possible range; `interval`: the two ends are meant; `ranged`: nominal and both ends are kept */
  readonly form: QuantityForm;

  constructor(raw: unknown, kind: QuantityKind, options: QuantityOptions, form: QuantityForm) {
    this.raw = raw;
    this.kind = kind;
    this.options = options;
    this.form = form;
  }
}

/** The fields of one view; quantities are typed as the SI numbers they become. */
export interface Fields {
  readonly quantity: (kind: QuantityKind, options: QuantityOptions) => z.ZodType<number>;
  readonly interval: (kind: QuantityKind, options: QuantityOptions) => z.ZodType<readonly [number, number]>;
  /** a value whose range is used, not only told */
  readonly ranged: (kind: QuantityKind, options: QuantityOptions) => z.ZodType<Quantity>;
}

export const published: Fields = {
  quantity: (kind, options) => publishedText(kind, options) as unknown as z.ZodType<number>,
  interval: (kind, options) => publishedText(kind, options) as unknown as z.ZodType<readonly [number, number]>,
  ranged: (kind, options) => publishedText(kind, options) as unknown as z.ZodType<Quantity>,
};

export const reading: Fields = {
  quantity: (kind, options) => anyScalar(kind, options, "value") as unknown as z.ZodType<number>,
  interval: (kind, options) => anyScalar(kind, options, "interval") as unknown as z.ZodType<readonly [number, number]>,
  ranged: (kind, options) => anyScalar(kind, options, "ranged") as unknown as z.ZodType<Quantity>,
};

/** Marks unknown-key issues with the keys there are, for the nearest spelling. */
export const allowedKeysMark = "allowed keys: ";

/** An object that refuses unknown keys. */
export function group<S extends z.core.$ZodLooseShape>(shape: S): z.ZodObject<S, z.core.$strict> {
  return z.strictObject(shape, {
    error: (issue) => (issue.code === "unrecognized_keys" ? allowedKeysMark + Object.keys(shape).join(" ") : undefined),
  });
}

function publishedText(kind: QuantityKind, options: QuantityOptions): z.ZodType {
  const { says, default: preset, ...bounds } = options;
  const text = z.string().regex(new RegExp(quantityPattern(kind), "u"));
  const meta = {
    description: says,
    quantity: kind,
    units: quantityKinds[kind].units.map((unit) => unit.name),
    examples: [quantityKinds[kind].example],
    ...bounds,
  };
  if (kind === "ratio") {
    const either = z.union([z.number(), text]).meta(meta);
    return preset === undefined ? either : either.default(preset);
  }
  return preset === undefined ? text.meta(meta) : text.default(preset).meta(meta);
}

function anyScalar(kind: QuantityKind, options: QuantityOptions, form: QuantityForm): z.ZodType {
  const scalar = z
    .custom<unknown>((value) => value === null || typeof value === "string" || typeof value === "number" || typeof value === "boolean", {
      error: `quantity ${kind}`,
    })
    .transform((raw) => new Written(raw, kind, options, form));
  return options.default === undefined ? scalar : scalar.prefault(options.default);
}
