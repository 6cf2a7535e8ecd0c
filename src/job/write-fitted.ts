/** Puts fitted values into the text of an arm file, each where its value stands: comments, order and layout stay. */
import { isMap } from "yaml";
import type { ArmDescription, CableStock, Fitted, RodMaterial } from "../arm/index.ts";
import { formatQuantity, InputError, parseQuantity, type QuantityKind } from "../base/index.ts";
import type { ParameterValues } from "../fit/index.ts";
import { spliceValue } from "./splice-value.ts";
import { cableStocks, rodMaterials } from "./stock.ts";
import { readYamlText } from "./yaml-text.ts";

/** digits of a fitted value: far more than any spread leaves */
const digits = 5;

/**
 * @param text    of an arm file that was read without faults
 * @param values  factors from 1; lengths and coefficients from 0, beside what the file says
 * @param arm     with those values in it
 * @throws InputError when the text has faults of syntax, or a value cannot be spliced
 */
export function writeFitted(text: string, values: ParameterValues, arm: ArmDescription, fitted: Fitted): string {
  let written = dropFitted(text);
  for (const [at, pattern] of patternsOf(written)) {
    for (const [path, value] of [...changes(at, pattern, values), ...playChanges(at, pattern, values, fitted)])
      written = spliceValue(written, path, value);
  }
  for (const [path, value] of frictionOf(arm, fitted)) written = spliceValue(written, path, value);
  for (const [path, value] of outerChanges(written, values)) written = spliceValue(written, path, value);
  for (const [path, value] of groupOf(fitted)) written = spliceValue(written, `fitted.${path}`, value);
  return written;
}

type Group = Readonly<Record<string, unknown>>;

/** The lines of an earlier fit. */
function dropFitted(text: string): string {
  const yaml = readYamlText("", text);
  if (!("data" in yaml)) throw new InputError(yaml);
  if (!isMap(yaml.root)) return text;
  const at = yaml.root.items.findIndex((item) => String((item.key as { value?: unknown }).value) === "fitted");
  if (at < 0) return text;
  const start = (item: (typeof yaml.root.items)[number] | undefined): number | undefined =>
    (item?.key as { range?: readonly number[] } | undefined)?.range?.[0];
  const from = start(yaml.root.items[at]) ?? 0;
  const value = yaml.root.items[at]?.value as { range?: readonly number[] } | null | undefined;
  // up to the end of its value; comments that stand before the next key are that key's
  let to = Math.max(from, value?.range?.[1] ?? from);
  const line = text.indexOf("\n", to > from && text[to - 1] === "\n" ? to - 1 : to);
  to = line < 0 ? text.length : line + 1;
  return text.slice(0, from) + text.slice(to);
}

function patternsOf(text: string): [string, Group][] {
  const { sections } = dataOf(text);
  if (!Array.isArray(sections)) return [["sections", sections as Group]];
  return sections.map((pattern, k) => [`sections[${k}]`, pattern as Group]);
}

function dataOf(text: string): Group {
  const yaml = readYamlText("", text);
  if (!("data" in yaml)) throw new InputError(yaml);
  return yaml.data as Group;
}

/** A coefficient that was told gets two spreads either way for its range: what bounds are computed with. */
function frictionOf({ friction }: ArmDescription, { spreads }: Fitted): [string, string][] {
  const kinds = [
    ["hole-friction", "friction.holes", friction?.holes.nominal],
    ["conduit-friction", "friction.conduit", friction?.conduit.nominal],
  ] as const;
  return kinds.flatMap(([name, path, value]): [string, string][] => {
    const spread = spreads[name];
    if (spread === undefined || value === undefined) return [];
    const width = Math.min(value, 2 * spread);
    return [[path, `${Number(value.toPrecision(3))} +- ${Number(width.toPrecision(2))}`]];
  });
}

/** What gives outside the arm stretches as its cables do. */
function outerChanges(text: string, values: ParameterValues): [string, string][] {
  if (values.stretch === 1) return [];
  const data = dataOf(text);
  const kinds = [
    ["conduit-stiffness", "force"],
    ["drive-stiffness", "stiffness"],
  ] as const;
  return kinds.flatMap(([key, kind]) => (data[key] === undefined ? [] : [[key, say(read(data[key], kind) / values.stretch, kind)]]));
}

/** Every path of a section's pattern that gets a new value, and the value. */
function changes(at: string, pattern: Group, values: ParameterValues): [string, string][] {
  const list: [string, string][] = [];
  if (values["effective-length"] !== 0) {
    const before = read(pattern["effective-length"] ?? pattern["hinge"], "length");
    list.push([`${at}.effective-length`, say(before + values["effective-length"], "length")]);
  }
  if (values.stiffness !== 1) {
    const backbone = pattern["backbone"] as Group;
    const rods = backbone["rods"] as readonly Group[] | undefined;
    if (rods === undefined) list.push(scaleMaterial(`${at}.backbone.material`, backbone["material"], values.stiffness));
    else rods.forEach((rod, k) => list.push(scaleMaterial(`${at}.backbone.rods[${k}].material`, rod["material"], values.stiffness)));
  }
  if (values.stretch !== 1) list.push(scaleStock(`${at}.cables.stock`, (pattern["cables"] as Group)["stock"], 1 / values.stretch));
  return list;
}

/** [field of the description, key of the file, kind]; a named material or cable is written out by these. */
const materialFields = [
  ["youngModulus", "young-modulus", "pressure"],
  ["poissonRatio", "poisson-ratio", "ratio"],
  ["density", "density", "density"],
  ["allowedStrain", "allowed-strain", "ratio"],
  ["fatigueStrain", "fatigue-strain", "ratio"],
  ["expansion", "expansion", "expansion"],
  ["linearStrain", "linear-strain", "ratio"],
  ["plateauModulus", "plateau-modulus", "pressure"],
  ["plateauRise", "plateau-rise", "stress-rise"],
] as const satisfies readonly (readonly [keyof RodMaterial, string, QuantityKind])[];
const stockFields = [
  ["diameter", "diameter", "length"],
  ["effectiveModulus", "effective-modulus", "pressure"],
  ["breakingLoad", "breaking-load", "force"],
  ["massPerLength", "mass-per-length", "mass-per-length"],
  ["expansion", "expansion", "expansion"],
  ["creep", "creep", "ratio"],
] as const satisfies readonly (readonly [keyof CableStock, string, QuantityKind])[];

/** Two spreads either way for its range: margins take the most. */
function playChanges(at: string, pattern: Group, values: ParameterValues, { spreads }: Fitted): [string, string][] {
  const play = pattern["play"] as Group | undefined;
  if (spreads.play === undefined || play === undefined) return [];
  const nominal = (play["bend"] === undefined ? 0 : read(play["bend"], "angle")) + values.play;
  const width = Math.min(nominal, 2 * spreads.play);
  return [[`${at}.play.bend`, `${say(nominal, "angle")} +- ${formatQuantity(width, "angle", "metric", 2)}`]];
}

function scaleMaterial(path: string, material: unknown, factor: number): [string, string] {
  if (typeof material !== "string") {
    return [`${path}.young-modulus`, say(read((material as Group)["young-modulus"], "pressure") * factor, "pressure")];
  }
  const known = rodMaterials.find((m) => m.name === material) as RodMaterial;
  return [path, writeOut({ ...known, youngModulus: known.youngModulus * factor }, materialFields)];
}

function scaleStock(path: string, stock: unknown, factor: number): [string, string] {
  if (typeof stock !== "string") {
    return [`${path}.effective-modulus`, say(read((stock as Group)["effective-modulus"], "pressure") * factor, "pressure")];
  }
  const known = cableStocks.find((c) => c.name === stock) as CableStock;
  return [path, writeOut({ ...known, effectiveModulus: known.effectiveModulus * factor }, stockFields)];
}

/** All that the table of named things knows of one, on one line. */
function writeOut<T extends { readonly name: string }>(known: T, fields: readonly (readonly [keyof T, string, QuantityKind])[]): string {
  const written = fields.flatMap(([field, key, kind]) => (known[field] === undefined ? [] : [[key, say(known[field] as number, kind)]]));
  return flow({ name: JSON.stringify(`${known.name}, fitted`), ...Object.fromEntries(written) });
}

function groupOf({ date, tables, spreads, correlations, notes }: Fitted): [string, string][] {
  const told = Object.entries(spreads).map(([name, spread]) => [
    name,
    name === "effective-length"
      ? formatQuantity(spread, "length", "metric", 2)
      : name === "play"
        ? formatQuantity(spread, "angle", "metric", 2)
        : name.endsWith("friction")
          ? String(Number(spread.toPrecision(2)))
          : `${Number((100 * spread).toPrecision(2))} %`,
  ]);
  const list: [string, string][] = [
    ["date", date],
    ["tables", `[${tables.map(({ file, hash }) => `{ file: ${JSON.stringify(file)}, hash: ${JSON.stringify(hash)} }`).join(", ")}]`],
    ["spreads", flow(Object.fromEntries(told))],
  ];
  if (correlations.length > 0)
    list.push(["correlations", `[${correlations.map((c) => `{ between: [${c.between.join(", ")}], is: ${c.is} }`).join(", ")}]`]);
  if (notes.length > 0) list.push(["notes", `[${notes.map((note) => JSON.stringify(note)).join(", ")}]`]);
  return list;
}

function flow(entries: Readonly<Record<string, string>>): string {
  const inner = Object.entries(entries).map(([key, value]) => `${key}: ${value}`);
  return inner.length === 0 ? "{}" : `{ ${inner.join(", ")} }`;
}

function read(written: unknown, kind: QuantityKind): number {
  return parseQuantity(String(written), kind).nominal;
}

function say(value: number, kind: QuantityKind): string {
  return formatQuantity(value, kind, "metric", digits);
}
