/** A body that names a file -> one body, or one for each part of the file, with the touch rules of each. */
import { cadKindOf, guessUnit, type MeshData, type MeshPart } from "../formats/index.ts";
import type { Body, MeshShape, Placement, TouchRule } from "../space/index.ts";
import type { OpenFault } from "./convert-arm.ts";
import { convertTouch } from "./convert-touch.ts";
import { nearestWord } from "./nearest-word.ts";
import type { BodyFile } from "./schema-job.ts";

export type MeshFile = Extract<BodyFile, { shape: "mesh" }>;

type Parts = NonNullable<MeshFile["parts"]>;

/** m */
export const metresOf = { m: 1, cm: 1e-2, mm: 1e-3, um: 1e-6, in: 0.0254, ft: 0.3048 } as const;

/** How far a CAD surface may be from its triangles when the job does not say, m. */
export const usualTolerance = 1e-4;

/** More parts than this are kept apart only where they have rules of their own: every body costs each question a little. */
const mostParts = 100;

/** Part names that a hint lists. */
const mostListed = 12;

/**
 * @param leftOut  a sentence is added for each body of which parts are left out
 * @returns at least one body; one for each part where the file has several
 */
export function convertMesh(
  body: MeshFile,
  k: number,
  mesh: MeshData,
  placed: { readonly placement: Placement; readonly touch: TouchRule },
  faults: OpenFault[],
  leftOut: string[],
): Body[] {
  const cad = cadKindOf(body.file) !== undefined;
  const unit = unitOf(body, k, mesh, faults);
  const tolerance = body.tolerance ?? (cad ? usualTolerance : 0);
  const make = (name: string, corners: Float64Array, touch: TouchRule): Body => {
    const shape: MeshShape = { kind: "mesh", corners, unit, ...(tolerance > 0 ? { tolerance } : {}) };
    return { name, shape, placement: placed.placement, touch };
  };
  const rules = rulesOf(body, k, mesh.parts, faults);
  if (mesh.parts.filter(({ name }) => name !== "").length < 2 && rules.size === 0) return [make(body.name, mesh.corners, placed.touch)];
  const gone = mesh.parts.filter(({ name }) => rules.get(name)?.["leave-out"]);
  if (gone.length > 0) leftOut.push(`${body.name}: left out, as the job says: ${listNames(gone)}.`);
  if (gone.length === mesh.parts.length) {
    faults.push({
      code: "job.part",
      at: ["bodies", k, "parts"],
      problem: "leave out everything that the file has.",
      hint: "Keep a part, or take the body away.",
    });
    return [make(body.name, mesh.corners, placed.touch)];
  }
  const bodies: Body[] = [];
  const others: MeshPart[] = [];
  const many = mesh.parts.length > mostParts;
  for (const part of mesh.parts) {
    const rule = rules.get(part.name);
    if (rule?.["leave-out"]) continue;
    if (part.name === "" || (many && rule === undefined)) others.push(part);
    else
      bodies.push(
        make(`${body.name} / ${part.name}`, cornersOf(mesh, [part]), rule === undefined ? placed.touch : touchOf(body, k, rule, faults)),
      );
  }
  if (others.length > 0) bodies.push(make(body.name, cornersOf(mesh, others), placed.touch));
  return bodies;
}

/** Each rule by its part's name; unknown names, names given twice and empty rules are faults. */
function rulesOf({ parts }: MeshFile, k: number, there: readonly MeshPart[], faults: OpenFault[]): Map<string, Parts[number]> {
  const rules = new Map<string, Parts[number]>();
  const names = there.map(({ name }) => name).filter((name) => name !== "");
  parts?.forEach((rule, j) => {
    const add = (problem: string, hint: string): void => {
      faults.push({ code: "job.part", at: ["bodies", k, "parts", j, "name"], received: rule.name, problem, hint });
    };
    if (!names.includes(rule.name)) {
      // a body whose file could not be read has no parts at all: that is said elsewhere
      if (there.length === 0) return;
      const near = nearestWord(rule.name, names);
      const has = names.length === 0 ? "The file names no parts." : `The file has: ${listNames(there)}.`;
      add(`is ${JSON.stringify(rule.name)}, which the file does not have.`, near === undefined ? has : `Did you mean ${near}? ${has}`);
    } else if (rules.has(rule.name)) add(`is ${JSON.stringify(rule.name)}, given twice.`, "Give each part one rule.");
    else rules.set(rule.name, rule);
    if (rule["leave-out"] && (rule.touch ?? rule["stand-off"] ?? rule["touch-force"]) !== undefined) {
      faults.push({
        code: "job.part",
        at: ["bodies", k, "parts", j, "leave-out"],
        problem: "is given beside a touch rule.",
        hint: "A part that is not there cannot be touched: keep one of the two.",
      });
    }
  });
  return rules;
}

/** What a part's rule does not say, the body's does. */
function touchOf(body: MeshFile, k: number, rule: Parts[number], faults: OpenFault[]): TouchRule {
  const own = rule.touch === undefined || rule.touch === body.touch;
  return convertTouch(
    {
      touch: rule.touch ?? body.touch,
      "stand-off": rule["stand-off"] ?? (own ? body["stand-off"] : undefined),
      "touch-force": rule["touch-force"] ?? (own ? body["touch-force"] : undefined),
    },
    ["bodies", k, "parts", body.parts?.indexOf(rule) ?? 0],
    faults,
  );
}

function cornersOf({ corners }: MeshData, parts: readonly MeshPart[]): Float64Array {
  const pieces = parts.map(({ first, count }) => corners.subarray(9 * first, 9 * (first + count)));
  if (pieces.length === 1) return pieces[0] as Float64Array;
  const joined = new Float64Array(pieces.reduce((sum, piece) => sum + piece.length, 0));
  let at = 0;
  for (const piece of pieces) {
    joined.set(piece, at);
    at += piece.length;
  }
  return joined;
}

function listNames(parts: readonly MeshPart[]): string {
  const names = parts.map(({ name }) => name).filter((name) => name !== "");
  const more = names.length - mostListed;
  return names.slice(0, mostListed).join(", ") + (more > 0 ? ` and ${more} more` : "");
}

/** Metres of one unit of the file, as its kind or the job says; a missing one is a fault that offers what the size makes likely. */
function unitOf(body: MeshFile, k: number, { corners }: MeshData, faults: OpenFault[]): number {
  const cad = cadKindOf(body.file);
  if (cad === "step" || cad === "iges") {
    if (body.unit === undefined) return metresOf.mm;
    faults.push({
      code: "job.body",
      at: ["bodies", k, "unit"],
      problem: `is ${body.unit}, and a ${cad.toUpperCase()} file says its own unit.`,
      hint: "Take it away; a file with a wrong unit is mended where it was made.",
    });
    return metresOf.mm;
  }
  if (body.unit !== undefined) return metresOf[body.unit];
  if (/\.glb$/i.test(body.file)) return metresOf.m;
  const extent = extentOf(corners);
  faults.push({
    code: "shape.missing-key",
    at: ["bodies", k, "unit"],
    problem: "is missing.",
    hint: `Give one of: ${Object.keys(metresOf).join(", ")}.${extent > 0 ? ` ${guessUnit(extent)}` : ""}`,
  });
  return metresOf.mm;
}

/** Longest edge of the bounding box, file unit. */
function extentOf(corners: Float64Array): number {
  const low = [Infinity, Infinity, Infinity];
  const high = [-Infinity, -Infinity, -Infinity];
  for (let k = 0; k < corners.length; k++) {
    const value = corners[k] as number;
    if (value < (low[k % 3] as number)) low[k % 3] = value;
    if (value > (high[k % 3] as number)) high[k % 3] = value;
  }
  return corners.length === 0 ? 0 : Math.max(...high.map((value, i) => value - (low[i] as number)));
}
