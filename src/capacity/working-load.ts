/** What a cable may carry once its ends, its bends and a reserve are counted, and what its bends cost it in life. */
import { strengthOverBend } from "../arm/index.ts";
import { type Fault, refuse } from "../base/index.ts";

export interface CableUse {
  /** [1] of the straight cable, N, > 0 */
  readonly breakingLoad: number;
  /** [1] share left at the termination, 1, above 0 to 1 */
  readonly terminationFactor: number;
  /** [1] reserve, 1, >= 1 */
  readonly designFactor: number;
  /** [1] diameter of the cable, m, > 0 */
  readonly diameter: number;
  /** [1] diameter of the tightest curve that it is pulled round (hole edge, pulley), to the cable's near side, m; no such curve when absent */
  readonly bendDiameter?: number;
}

/** Least and desirable ratio of bend to cable diameter for a long life, by how the strand is laid. */
const lifeRatios = { "7x7": [28, 42], "7x19": [18, 24], "6x37": [10, 12] } as const;

export type Strand = keyof typeof lifeRatios;

/**
 * Share of its strength that a cable keeps over a curve. @see docs/sources.md#bent-cables
 *
 * @param ratio diameter of the curve over that of the cable, >= 1
 * @throws InputError `capacity.value` for a sharper one, about which nothing is known
 */
export function bendFactor(ratio: number): number {
  if (!(ratio >= 1)) {
    const problem = `is ${ratio}.`;
    refuse([
      { code: "capacity.value", path: "bendDiameter / diameter", problem, hint: "Round the edge to at least the cable's own diameter." },
    ]);
  }
  return strengthOverBend(ratio);
}

/** Breaking load x termination x bend / design factor, N. @throws InputError `capacity.value` with every fault */
export function workingLoad(cable: CableUse): number {
  const faults: Fault[] = [];
  const need = (fine: boolean, path: string, value: number, hint: string): void => {
    if (!fine) faults.push({ code: "capacity.value", path, problem: `is ${value}.`, hint, received: String(value) });
  };
  need(cable.breakingLoad > 0, "breakingLoad", cable.breakingLoad, "Give a force above 0 N.");
  need(
    cable.terminationFactor > 0 && cable.terminationFactor <= 1,
    "terminationFactor",
    cable.terminationFactor,
    "Give a share up to 1; 0.8 to 0.9 is usual.",
  );
  need(cable.designFactor >= 1, "designFactor", cable.designFactor, "Give 1 or more.");
  need(cable.diameter > 0, "diameter", cable.diameter, "Give a diameter above 0 m.");
  refuse(faults);
  const bend = cable.bendDiameter === undefined ? 1 : bendFactor(cable.bendDiameter / cable.diameter);
  return (cable.breakingLoad * cable.terminationFactor * bend) / cable.designFactor;
}

/** Whether a curve is gentle enough for a long life: `short` under the least ratio, `fair` under the desirable one. */
export function bendLife(strand: Strand, ratio: number): "short" | "fair" | "long" {
  const [least, desirable] = lifeRatios[strand];
  return ratio < least ? "short" : ratio < desirable ? "fair" : "long";
}

/** Strain of an outer wire from the curve alone: wire over curve diameter. */
export function wireStrain(wireDiameter: number, bendDiameter: number): number {
  return wireDiameter / bendDiameter;
}
